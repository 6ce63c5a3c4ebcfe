import "./dialog.css";
import type { ComponentChildren } from "preact";
import { useId, useLayoutEffect, useRef } from "preact/hooks";
import { Icon } from "./icon.tsx";

type DialogProps = { readonly title: string; readonly onClose: () => void; readonly children: ComponentChildren };

/** A dialog that rises from the thumb's edge of the screen. Escape and the cross close it. */
export function Dialog({ title, onClose, children }: DialogProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useLayoutEffect(() => {
    const shown = dialog.current;
    shown?.showModal();
    return () => shown?.close();
  }, []);
  return (
    <dialog ref={dialog} class="sheet" aria-labelledby={heading} onCancel={onClose}>
      <header>
        <h2 id={heading}>{title}</h2>
        <button type="button" class="cross" aria-label="Close" onClick={onClose}>
          <Icon name="close" />
        </button>
      </header>
      {children}
    </dialog>
  );
}

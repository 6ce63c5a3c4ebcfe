import "./top.css";
import { useEffect, useRef } from "preact/hooks";
import { Link } from "./button.tsx";

type TopProps = { readonly title: string; readonly back?: string; readonly over?: string };

/** The head of a screen. A new screen's title takes the focus, so that a screen reader begins there. */
export function Top({ title, back, over }: TopProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${title} · Benchbell`;
    heading.current?.focus({ preventScroll: true });
  }, [title]);
  return (
    <div class="top">
      {back && (
        <Link to={back} class="back" icon="back">
          <span class="unseen">Back</span>
        </Link>
      )}
      <div>
        {over && <p class="over">{over}</p>}
        <h1 ref={heading} tabIndex={-1}>
          {title}
        </h1>
      </div>
    </div>
  );
}

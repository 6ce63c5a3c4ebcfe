import type { ClampsShort } from "../../bench/clamps.ts";
import { Link } from "../../controls/button.tsx";
import { ReasonDialog } from "../../controls/reason_dialog.tsx";
import { builds, now } from "../../live/state.ts";
import { operationPath } from "../paths.ts";
import { enoughSentence, heldSentence, holderTitle, shortSentence } from "../words/clamps.ts";

type ClampsDialogProps = {
  readonly short: ClampsShort;
  readonly action: string;
  readonly onReason: (reason: string) => void;
  readonly onClose: () => void;
};

/** Too few clamps are free: says what has them and until when, and wants to know what holds the joint instead. */
export function ClampsDialog({ short, action, onReason, onClose }: ClampsDialogProps) {
  return (
    <ReasonDialog
      title="Not enough clamps"
      usual={["Borrowed some", "Other clamps will do", "There are more than counted"]}
      action={action}
      onReason={onReason}
      onClose={onClose}
    >
      <p>
        {shortSentence(short)} {enoughSentence(short, now.value)}
      </p>
      {short.holders.length > 0 && (
        <ul class="rows">
          {short.holders.map((one) => (
            <li key={`${one.build.id} ${one.op.id}`} class="row">
              <Link to={operationPath(one.build.id, one.op.id)} class="row-words" icon="clamp">
                <span>
                  {holderTitle(one, builds.value.length > 1)}
                  <small>{heldSentence(one, now.value)}</small>
                </span>
              </Link>
            </li>
          ))}
        </ul>
      )}
    </ReasonDialog>
  );
}

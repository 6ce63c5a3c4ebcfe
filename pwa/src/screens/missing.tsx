import { Link } from "../controls/button.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";

/** Nothing is here: says what was looked for, and where to go. */
export function Missing({ what, next = "Go back to the bench, or scan a label." }: { what: string; next?: string }) {
  return (
    <>
      <Top title="Not here" back="/" />
      <Notice what={what} next={next} grave>
        <div class="pair">
          <Link to="/" class="button plain" icon="bench">
            Bench
          </Link>
          <Link to="/scan" class="button plain" icon="scan">
            Scan
          </Link>
        </div>
      </Notice>
    </>
  );
}

import "./findings.css";
import type { Finding } from "../wire.gen.ts";
import { Icon } from "./icon.tsx";

/** What the checker found: grade in words, the line, what is wrong, and what to do about it. */
export function Findings({ findings }: { findings: readonly Finding[] }) {
  return (
    <ul class="findings">
      {findings.map((finding) => (
        <li key={`${finding.line} ${finding.what}`} class={finding.grade}>
          <Icon name={finding.grade === "error" ? "spoiled" : "warn"} />
          <p>
            <strong>
              {finding.grade === "error" ? "Wrong" : "Look out"}
              {finding.line > 0 && `, line ${finding.line}`}:
            </strong>{" "}
            {finding.what} <span class="next-step">{finding.next_step}</span>
          </p>
        </li>
      ))}
    </ul>
  );
}

import "./findings.css";
import type { Finding } from "../wire.gen.ts";
import { Icon } from "./icon.tsx";

/** By grade, the icon and the word to begin with. */
const GRADES = { error: ["spoiled", "Wrong"], warning: ["warn", "Look out"], accepted: ["done", "Accepted"] } as const;

/** What the checker found: grade in words, the line, what is wrong, and what to do about it or why it is accepted. */
export function Findings({ findings }: { findings: readonly Finding[] }) {
  return (
    <ul class="findings">
      {findings.map((finding) => (
        <li key={`${finding.line} ${finding.what}`} class={finding.grade}>
          <Icon name={GRADES[finding.grade][0]} />
          <p>
            <strong>
              {GRADES[finding.grade][1]}
              {finding.line > 0 && `, line ${finding.line}`}:
            </strong>{" "}
            {finding.what}{" "}
            {finding.grade === "accepted" ? (
              <span class="reason">{finding.reason}</span>
            ) : (
              <span class="next-step">{finding.next_step}</span>
            )}
          </p>
        </li>
      ))}
    </ul>
  );
}

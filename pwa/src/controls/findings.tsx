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
        <li key={`${finding.file} ${finding.line} ${finding.what}`} class={finding.grade}>
          <Icon name={GRADES[finding.grade][0]} />
          <p>
            <strong>
              {GRADES[finding.grade][1]}
              {finding.line > 0 && `, line ${finding.line}`}
              {finding.used_by?.length ? ` of ${finding.file}` : ""}:
            </strong>{" "}
            {finding.what}{" "}
            {finding.grade === "accepted" ? (
              <span class="reason">{finding.reason}</span>
            ) : (
              <span class="next-step">{finding.next_step}</span>
            )}
            {finding.used_by?.map(({ name, file, line }) => (
              <span class="soft" key={`${file} ${line}`}>
                {" "}
                Used as {name} in line {line} of {file}.
              </span>
            ))}
          </p>
        </li>
      ))}
    </ul>
  );
}

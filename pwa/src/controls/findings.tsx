import "./findings.css";
import type { Finding } from "../wire.gen.ts";
import { Icon } from "./icon.tsx";

/** What the checker found: grade in words, the line, what is wrong, and what to do about it. */
export function Findings({ findings }: { findings: readonly Finding[] }) {
  return (
    <ul class="findings">
      {findings.map((finding) => (
        <li key={`${finding.file} ${finding.line} ${finding.what}`} class={finding.grade}>
          <Icon name={finding.grade === "error" ? "spoiled" : "warn"} />
          <p>
            <strong>
              {finding.grade === "error" ? "Wrong" : "Look out"}
              {finding.line > 0 && `, line ${finding.line}`}
              {finding.used_by?.length ? ` of ${finding.file}` : ""}:
            </strong>{" "}
            {finding.what} <span class="next-step">{finding.next_step}</span>
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

import "./scan.css";
import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Bearer } from "../bench/loaded_builds.ts";
import { Button } from "../controls/button.tsx";
import { Icon, type IconName } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { travel } from "../live/navigation.ts";
import type { Seen } from "../phone/reading.ts";
import { soundAnswer } from "../phone/sound.ts";
import { PATHS } from "../recipe/label_code.ts";
import { tickableOperations, ticking, tickingFor, tickScanned } from "./operation/ticks.ts";
import { batchPath } from "./paths.ts";
import { meetingAnswer } from "./scan/meeting.ts";
import { type Label, labelName, labelOf, labelTyped, oldLabelAnswer, type ScanAnswer } from "./scan/resolve_label.ts";
import { StableScan } from "./scan/stable_scan.ts";
import { TypedCode } from "./scan/typed.tsx";
import { Viewfinder } from "./scan/viewfinder.tsx";
import { counted, fullTitle } from "./words/names.ts";
import { leftIn, partsIn, titleOfAll } from "./words/whose.ts";

type Mode = "open" | "tick" | "fit";

const MODES: readonly (readonly [Mode, string])[] = [
  ["open", "Open"],
  ["tick", "Tick off"],
  ["fit", "Do they meet?"],
];

/** Answers that stay in sight, newest first. */
const KEPT = 4;

/** A label by the camera, or typed where the square is torn or dusty. */
export function ScanScreen({ title }: { readonly title: string }) {
  const mode = useSignal<Mode>(ticking.value ? "tick" : "open");
  const seen = useSignal<readonly Seen[]>([]);
  const answers = useSignal<readonly ScanAnswer[]>([]);
  const first = useSignal<Bearer | null>(null);
  const stableScan = useRef(new StableScan());
  useEffect(() => stopTicking, []);

  const say = (met: ScanAnswer) => {
    soundAnswer(met.good !== false);
    answers.value = [met, ...answers.value].slice(0, KEPT);
  };
  const take = (label: Label) => {
    if (label.kind === "no label") return say({ good: false, sentence: label.error });
    if (label.kind === "place") return open(`/${PATHS[label.held.kind]}/${label.held.name}`);
    if (mode.value === "open") return open(`/P/${label.code}`);
    if (label.kind === "put away")
      return say({ good: false, sentence: `That is of ${label.build}, which is done with.` });
    const old = oldLabelAnswer(label.bearer);
    if (old) return say(old);
    if (mode.value === "tick") void tickScanned(label.bearer).then(say);
    else pair(label.bearer);
  };
  const pair = (bearer: Bearer) => {
    const one = first.value;
    first.value = one ? null : bearer;
    if (one) return say(meetingAnswer(one, bearer));
    say({ good: null, sentence: `${fullTitle(bearer.view.sheet, bearer.id)}. Now scan what it should meet.` });
  };
  const look = (now: readonly Seen[]) => {
    if (now.length || seen.value.length) seen.value = now;
    const text = stableScan.current.look(now, performance.now());
    if (text !== null) take(labelOf(text));
  };
  const tap = (text: string) => {
    stableScan.current.take(text, performance.now());
    take(labelOf(text));
  };
  const change = (chosen: Mode) => {
    mode.value = chosen;
    first.value = null;
    answers.value = [];
    stableScan.current = new StableScan();
  };

  const wanted = tickingFor();
  return (
    <>
      <Top
        title={wanted.length ? "Tick by scanning" : title}
        over={titleOfAll(wanted)}
        {...(ticking.value ? { back: batchPath(ticking.value) } : {})}
      />
      {wanted.length === 0 && <Modes mode={mode.value} onMode={change} />}
      <Viewfinder onLook={look} outlined={seen.value} onTap={tap} />
      {mode.value === "tick" && <TickProgress />}
      {seen.value.length > 1 && <LabelChoice texts={seen.value.map(({ text }) => text)} onTap={tap} />}
      <ScanAnswers answers={answers.value} />
      <TypedCode onCode={(text) => refusalOf(labelTyped(text), take)} />
    </>
  );
}

/** Buttons that choose what a scan is for. */
function Modes({ mode, onMode }: { readonly mode: Mode; readonly onMode: (mode: Mode) => void }) {
  return (
    <fieldset class="reasons">
      <legend class="unseen">What for</legend>
      {MODES.map(([key, words]) => (
        <button key={key} type="button" class="chip" aria-pressed={key === mode} onClick={() => onMode(key)}>
          {words}
        </button>
      ))}
    </fieldset>
  );
}

/** Leaving the screen ends it. */
function stopTicking(): void {
  ticking.value = null;
}

/** Takes a typed code; gives why it was not taken, or "" when it was. */
function refusalOf(label: Label, take: (label: Label) => void): string {
  if (label.kind === "no label") return label.error;
  take(label);
  return "";
}

function open(path: string): void {
  soundAnswer(true);
  travel(path);
}

/** Which operations a scan ticks parts off, and how far they are. */
function TickProgress() {
  const wanted = tickingFor();
  const left = leftIn(wanted);
  const titles = [...new Set(tickableOperations().map(({ title }) => title))];
  const words = wanted.length
    ? `${left ? `${left} of ${counted(partsIn(wanted), "part")} to go.` : "Every part is ticked."}`
    : `In hand: ${titles.join(", ")}.`;
  return <p class="soft">{titles.length ? words : "Nothing is in hand. Begin an operation first."}</p>;
}

/** Several labels in view: which one is meant. */
function LabelChoice({ texts, onTap }: { readonly texts: readonly string[]; readonly onTap: (text: string) => void }) {
  return (
    <section class="block" aria-label="Labels in view">
      <p>Several labels are in view. Tap the one you mean, or move closer.</p>
      <div class="pair">
        {[...new Set(texts)].sort().map((text) => (
          <Button key={text} icon="label" onTap={() => onTap(text)}>
            {labelName(text)}
          </Button>
        ))}
      </div>
    </section>
  );
}

/** What came of the latest scans: yes, no, or neither, by shape and words as well as colour. */
function ScanAnswers({ answers }: { readonly answers: readonly ScanAnswer[] }) {
  return (
    <div class="answers" role="status">
      {answers.map((met, n) => (
        <p key={answers.length - n} class={n === 0 ? `met ${toneOf(met)}` : "met earlier"}>
          <Icon name={ICONS[toneOf(met)]} large={n === 0} />
          <span>{met.sentence}</span>
        </p>
      ))}
    </div>
  );
}

type Tone = "yes" | "look" | "so";

const ICONS: Readonly<Record<Tone, IconName>> = { yes: "done", look: "warn", so: "label" };

function toneOf({ good }: ScanAnswer): Tone {
  if (good === null) return "so";
  return good ? "yes" : "look";
}

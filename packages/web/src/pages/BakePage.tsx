import type { BakeBands, BakePrediction, BakeRequest } from "@evencrumb/core/bake";
import { formatMinutes, formatPercent } from "@evencrumb/core/quantities";
import { formatTin, resolveTin, tinDepthMm } from "@evencrumb/core/tins";
import { useDeferredValue, useEffect, useMemo, useRef, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { BakeCurves, CoolingPicture, coolingMarks } from "../bake/curvePictures.js";
import { calibrationOf, useKeptList } from "../bake/documents.js";
import { fullBakes, manyBakes, quickBakes } from "../bake/jobs.js";
import { OtherTins } from "../bake/OtherTins.js";
import { HeatLegend, SectionPicture } from "../bake/SectionPicture.js";
import {
  type BakeChoices,
  bakedComponents,
  firstChoices,
  quickRequest,
  requestOf,
  resizableTin,
  usualGrams,
} from "../bake/setting.js";
import { useLatest } from "../bake/useLatest.js";
import { betweenMinutes, clockOf, momentWords, settingWords } from "../bake/words.js";
import { readSmall, writeSmall } from "../keep/storage.js";
import { Field, ProblemList } from "../parts/Field.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { useJob } from "../work/useJob.js";
import "../style/keep.css";
import "../style/bake.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** How one component bakes in one tin and one oven: coarse while something is changed, then at full accuracy. */
export function BakePage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const { all: ovens } = useKeptList("oven");
  const [own, setOwn] = useState(() => readSmall<Partial<BakeChoices>>(`bake.${id}`) ?? {});
  const baked = bakedComponents(formula);
  const component = baked.find(({ name }) => name === own.component) ?? baked[0];
  const first = useMemo(() => firstChoices(component, ovens ?? []), [component, ovens]);
  const choices: BakeChoices = { ...first, ...own, component: component?.name ?? "" };
  const choose = (change: Partial<BakeChoices>) => {
    const next = { ...own, ...change };
    setOwn(next);
    writeSmall(`bake.${id}`, next);
  };

  const { request, problems } = useMemo(() => {
    if (ovens === undefined) return { request: null, problems: [] };
    const made: BakeChoices = { ...first, ...own, component: component?.name ?? "" };
    return requestOf(made, formula, book, owned, ovens);
  }, [first, own, component, formula, book, owned, ovens]);
  const quick = useLatest(quickBakes, "predict", request === null ? null : quickRequest(request));
  const whole = useMemo(() => (request === null ? null : { ...request, sectionEveryS: 30 }), [request]);
  const full = useJob(fullBakes, "predict", whole, 300);
  const wholeKey = JSON.stringify(whole);
  const fullAnswer =
    full.state === "ready" && JSON.stringify(full.answer.request) === wholeKey ? full.answer.prediction : undefined;
  const answer = request === null ? undefined : (fullAnswer ?? quick?.answer.prediction);
  const tin = request?.tin;
  // Asked for with a button, and for this bake alone: the next change goes back to the quick estimate.
  const [sampledKey, setSampledKey] = useState("");
  const bandRequest = useMemo(
    () => (request === null || sampledKey !== wholeKey ? null : { bake: bandBake(request), count: SAMPLES }),
    [request, sampledKey, wholeKey],
  );
  const band = useJob(manyBakes, "band", bandRequest, 0);
  return (
    <div className="page bake-page" data-accuracy={fullAnswer === undefined ? "coarse" : "full"}>
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>How it bakes</h1>
        </div>
      </header>
      {component === undefined ? (
        <p className="muted">There is no component to bake yet.</p>
      ) : (
        <Choices
          choices={choices}
          choose={choose}
          components={baked.map(({ name }) => name)}
          formulaTins={(component.tins ?? []).map((use) => use.tin)}
          usualGrams={Math.round(usualGrams(component, owned))}
          ovens={ovens ?? []}
        />
      )}
      <ProblemList problems={problems} />
      {answer === undefined ? (
        request === null ? null : (
          <p className="muted">Working it out…</p>
        )
      ) : (
        <>
          <Answer
            answer={answer}
            early={choices.minutes.trim() !== ""}
            sampled={band.state === "ready" && bandRequest !== null ? band.answer : undefined}
          />
          <p className="muted small bake-settling" role="status">
            {fullAnswer !== undefined ? (
              <>
                At full accuracy.{" "}
                {band.state === "working" ? (
                  <>
                    Sampling the band{band.progress === null ? "" : `, ${formatPercent(100 * band.progress, 0)}`}…{" "}
                    <button type="button" className="words accent" onClick={band.stop}>
                      Stop
                    </button>
                  </>
                ) : band.state === "stopped" ? (
                  <button type="button" className="words accent" onClick={band.again}>
                    Sample the band
                  </button>
                ) : band.state === "ready" ? (
                  `The band holds nine of ten of ${band.answer.samples} bakes with oven, batter and properties drawn anew (computed).`
                ) : (
                  <button type="button" className="words accent" onClick={() => setSampledKey(wholeKey)}>
                    Sample the band with {SAMPLES} bakes
                  </button>
                )}
              </>
            ) : full.state === "stopped" ? (
              <>
                Coarse: the full accuracy was stopped.{" "}
                <button type="button" className="words accent" onClick={full.again}>
                  Work it out
                </button>
              </>
            ) : full.state === "working" ? (
              <>
                Coarse; settling{full.progress === null ? "" : `, ${formatPercent(100 * full.progress, 0)}`}…{" "}
                <button type="button" className="words accent" onClick={full.stop}>
                  Stop
                </button>
              </>
            ) : (
              "Coarse; settling…"
            )}
          </p>
          <div className="bake-shown">
            <Section answer={answer} tinDepthM={tin === undefined ? 0 : tinDepthMm(tin) / 1000} />
            <Figures answer={answer} tin={tin === undefined ? "" : formatTin(tin)} />
          </div>
        </>
      )}
      {fullAnswer?.cooling === undefined ? (
        <section className="stack cooling-place" aria-label="After the oven">
          <h2>After the oven</h2>
          <p className="muted">{request === null ? "" : "Comes with the full accuracy…"}</p>
        </section>
      ) : (
        <section className="stack" aria-label="After the oven">
          <h2>After the oven</h2>
          <p className="cooling-answer">
            {coolingMarks(fullAnswer.cooling)
              .map(({ words, atS }) => `${words} after ${formatMinutes(atS)}`)
              .join(", ")}{" "}
            (predicted, from the oven's door).
          </p>
          <CoolingPicture cooling={fullAnswer.cooling} />
          <div className="row">
            <Field label="Room, °C" className="tiny">
              {(field) => (
                <input
                  {...field}
                  className="short"
                  inputMode="decimal"
                  value={choices.room}
                  onChange={(event) => choose({ room: event.currentTarget.value })}
                />
              )}
            </Field>
            <Field label="Once it can be wrapped">
              {(field) => (
                <select
                  {...field}
                  value={choices.afterwards}
                  onChange={(event) => choose({ afterwards: event.currentTarget.value as BakeChoices["afterwards"] })}
                >
                  <option value="rack">it stays on the rack</option>
                  <option value="fridge">it goes into the refrigerator, 4 °C</option>
                  <option value="freezer">it goes into the freezer, −18 °C, and is thawed again</option>
                </select>
              )}
            </Field>
          </div>
        </section>
      )}
      {request === null || component === undefined ? null : (
        <section className="stack" aria-label="In other tins">
          <h2>In other tins</h2>
          <OtherTins formula={formula} component={component.name} book={book} owned={owned} request={request} />
        </section>
      )}
      {answer === undefined ? null : (
        <details className="assumed">
          <summary>What was assumed, and what to mind</summary>
          <ul className="sentences small muted">
            {[...answer.assumptions, ...(fullAnswer?.cooling?.rules ?? [])].map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

/** Enough for a band to the minute; each is a coarse bake. */
const SAMPLES = 128;
const bandBake = ({ after: _after, bakeSeconds: _bakeSeconds, ...bake }: BakeRequest): BakeRequest => ({
  ...bake,
  accuracy: "coarse",
});

function Answer({ answer, early, sampled }: { answer: BakePrediction; early: boolean; sampled: BakeBands | undefined }) {
  const { doneSeconds, outcome, cautions, cooling } = answer;
  return (
    <div className="stack tight">
      <p className="keep-answer bake-answer">
        {outcome === "never-done" ? (
          <strong>It does not get done within four hours at this setting.</strong>
        ) : (
          <>
            Done in <strong>{formatMinutes(doneSeconds.likely)}</strong>, {betweenMinutes(sampled?.doneSeconds ?? doneSeconds)}{" "}
            (predicted).
          </>
        )}{" "}
        {early ? (
          <span>
            Taken out after {formatMinutes(answer.outSeconds)}, the coldest point is at{" "}
            {answer.coldestPoint.temperatureC.toFixed(0)} °C.
          </span>
        ) : null}
      </p>
      <ul className="sentences bake-cautions">
        {[...cautions, ...(cooling?.cautions ?? [])].map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </div>
  );
}

const PLAY_MS = 8000;

function Section({ answer, tinDepthM }: { answer: BakePrediction; tinDepthM: number }) {
  // Share of the bake, so that the place is kept when another bake takes longer.
  const [share, setShare] = useState(1);
  const [playing, setPlaying] = useState(false);
  const timeS = share * answer.outSeconds;
  const from = useRef(0);
  useEffect(() => {
    if (!playing) return;
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const begun = performance.now() - from.current * PLAY_MS;
    let timer = 0;
    const step = () => {
      const now = Math.min(1, (performance.now() - begun) / PLAY_MS);
      setShare(now);
      if (now >= 1) return setPlaying(false);
      // Eight stills instead of a film, where movement is not wanted.
      timer = calm ? window.setTimeout(step, PLAY_MS / 8) : requestAnimationFrame(step);
    };
    step();
    return () => (calm ? clearTimeout(timer) : cancelAnimationFrame(timer));
  }, [playing]);
  const words = `${clockOf(timeS)} in: ${momentWords(answer, timeS)}`;
  return (
    <section className="stack" aria-label="The cake cut through">
      {answer.section === undefined ? null : (
        <figure className="bake-figure">
          <SectionPicture
            section={answer.section}
            timeS={timeS}
            doneC={answer.doneC}
            tinDepthM={tinDepthM}
            label={`The cake cut through the middle, ${words}`}
          />
          <div className="bake-time">
            <button
              type="button"
              className="button plain"
              onClick={() => {
                from.current = share >= 1 ? 0 : share;
                setPlaying(!playing);
              }}
            >
              {playing ? "Pause" : "Play"}
            </button>
            <input
              type="range"
              aria-label="Time in the oven"
              aria-valuetext={words}
              min="0"
              max={Math.round(answer.outSeconds)}
              step="15"
              value={Math.round(timeS)}
              onChange={(event) => {
                setPlaying(false);
                setShare(Math.min(1, Number(event.currentTarget.value) / answer.outSeconds));
              }}
            />
            <output className="figures bake-clock">{clockOf(timeS)}</output>
          </div>
          <figcaption className="figures">{momentWords(answer, timeS)}</figcaption>
          <HeatLegend doneC={answer.doneC} />
        </figure>
      )}
      <BakeCurves answer={answer} timeS={timeS} />
    </section>
  );
}

function Figures({ answer, tin }: { answer: BakePrediction; tin: string }) {
  const { weightLossPercent: loss, height, browning, coldestPoint: cold, lethalityLog10 } = answer;
  const dome = height.centreMm - height.edgeMm;
  const rows: readonly (readonly [string, string])[] = [
    [
      "Loses",
      `${loss.likely.toFixed(1)} % of its weight, between ${loss.from.toFixed(1)} and ${loss.to.toFixed(1)} % (predicted)`,
    ],
    ["Top", `${browning.words} (indicative)`],
    [
      "Height",
      `${height.centreMm.toFixed(0)} mm in the middle, ${height.edgeMm.toFixed(0)} mm near the wall, from ${height.batterMm.toFixed(0)} mm of batter${
        dome > 2 ? `: a dome of ${dome.toFixed(0)} mm` : dome < -2 ? ": it sinks" : ""
      } (indicative)`,
    ],
    [
      "Coldest point",
      `${cold.temperatureC.toFixed(0)} °C when it comes out, ${(1000 * cold.rM).toFixed(0)} mm from the middle and ${(1000 * cold.zM).toFixed(0)} mm over the base of the batter`,
    ],
    [
      "Energy",
      `${answer.energyKwh.toFixed(2)} kWh with a usual oven, ${answer.cakeEnergyKwh.toFixed(2)} kWh of it into the cake`,
    ],
    [
      "Salmonella",
      `${lethalityLog10 >= 12 ? "12 or more" : lethalityLog10.toFixed(1)} tenfold reductions in the coldest point (computed; no proof for this cake)`,
    ],
  ];
  return (
    <dl className="bake-figures" aria-label={`In ${tin}`}>
      {rows.map(([term, words]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd className="figures">{words}</dd>
        </div>
      ))}
    </dl>
  );
}

function Choices({
  choices,
  choose,
  components,
  formulaTins,
  usualGrams,
  ovens,
}: {
  choices: BakeChoices;
  choose: (change: Partial<BakeChoices>) => void;
  components: readonly string[];
  formulaTins: readonly string[];
  usualGrams: number;
  ovens: readonly { readonly id: string; readonly body: import("../bake/documents.js").OwnOven }[];
}) {
  const owned = useOwnedTins();
  const { settings } = useHouseState();
  const oven = ovens.find(({ id }) => id === choices.oven)?.body;
  const listed =
    choices.tin === "" || formulaTins.includes(choices.tin) || owned.some(({ name }) => name === choices.tin)
      ? choices.tin
      : null;
  const [writing, setWriting] = useState(listed === null || (choices.tin === "" && formulaTins.length === 0));
  const calibration = calibrationOf(oven, choices.position);
  const grams = choices.grams === "" ? String(usualGrams) : choices.grams;
  const assumed = writing && choices.tin.trim() !== "" ? resolveTin(choices.tin, owned).value : undefined;
  const drawn = assumed === undefined ? undefined : resizableTin(assumed);
  return (
    <form className="bake-choices" aria-label="What is baked, and how" onSubmit={(event) => event.preventDefault()}>
      {components.length < 2 ? null : (
        <Field label="Component">
          {(field) => (
            <select
              {...field}
              value={choices.component}
              onChange={(event) => choose({ component: event.currentTarget.value, tin: "", grams: "" })}
            >
              {components.map((name) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          )}
        </Field>
      )}
      <Field label="Tin">
        {(field) => (
          <select
            {...field}
            value={writing ? "write" : choices.tin === "" ? (formulaTins[0] ?? "write") : choices.tin}
            onChange={(event) => {
              const chosen = event.currentTarget.value;
              setWriting(chosen === "write");
              choose({ tin: chosen === "write" ? (formulaTins[0] ?? "round 20x5 cm") : chosen === formulaTins[0] ? "" : chosen });
            }}
          >
            {formulaTins.length === 0 ? null : (
              <optgroup label="This formula's">
                {formulaTins.map((text) => (
                  <option key={text}>{text}</option>
                ))}
              </optgroup>
            )}
            {owned.length === 0 ? null : (
              <optgroup label="On your shelf">
                {owned
                  .filter(({ name }) => !formulaTins.includes(name))
                  .map(({ name }) => (
                    <option key={name}>{name}</option>
                  ))}
              </optgroup>
            )}
            <option value="write">another size…</option>
          </select>
        )}
      </Field>
      {writing ? (
        <Field label="Its shape and size" help={assumed === undefined ? "Such as round 20x7.5 cm." : formatTin(assumed)}>
          {(field) => <input {...field} value={choices.tin} onChange={(event) => choose({ tin: event.currentTarget.value })} />}
        </Field>
      ) : null}
      {writing && drawn !== undefined ? (
        <Field label={`${drawn.acrossCm} cm across`} className="oven-setting">
          {(field) => (
            <span className="with-unit">
              <input
                {...field}
                type="range"
                min="8"
                max="40"
                step="0.5"
                value={drawn.acrossCm}
                aria-valuetext={`${drawn.acrossCm} cm across`}
                onChange={(event) => choose({ tin: drawn.textFor(Number(event.currentTarget.value)) })}
              />
            </span>
          )}
        </Field>
      ) : null}
      <Field label="Batter in one tin">
        {(field) => (
          <span className="with-unit">
            <input
              {...field}
              className="tiny-field"
              inputMode="decimal"
              value={grams}
              onChange={(event) => choose({ grams: event.currentTarget.value })}
              onBlur={() => {
                if (choices.grams.trim() === String(usualGrams)) choose({ grams: "" });
              }}
            />
            <span className="muted">g</span>
          </span>
        )}
      </Field>
      <Field label="Oven">
        {(field) => (
          <select
            {...field}
            value={choices.oven}
            onChange={(event) => {
              const next = ovens.find(({ id }) => id === event.currentTarget.value);
              choose({
                oven: next?.id ?? "",
                position: next?.body.positions[0]?.name ?? "",
                ...(next === undefined ? {} : { fan: next.body.convection === "fan" }),
              });
            }}
          >
            <option value="">a usual oven</option>
            {ovens.map(({ id, body }) => (
              <option key={id} value={id}>
                {body.name}
              </option>
            ))}
          </select>
        )}
      </Field>
      {oven === undefined || oven.positions.length === 0 ? null : (
        <Field label="Place in it" help={calibration === undefined ? undefined : `from ${calibration.records} bake records`}>
          {(field) => (
            <select {...field} value={choices.position} onChange={(event) => choose({ position: event.currentTarget.value })}>
              {oven.positions.map(({ name }) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          )}
        </Field>
      )}
      <Field label={`Oven set to ${settingWords(choices.setC, settings.temperature)}`} className="oven-setting">
        {(field) => (
          <span className="with-unit">
            <input
              {...field}
              type="range"
              min="110"
              max="280"
              step="5"
              value={choices.setC}
              aria-valuetext={`${choices.setC} °C`}
              onChange={(event) => choose({ setC: Number(event.currentTarget.value) })}
            />
            <label className="choice">
              <input type="checkbox" checked={choices.fan} onChange={(event) => choose({ fan: event.currentTarget.checked })} />
              fan
            </label>
          </span>
        )}
      </Field>
      <details className="bake-more">
        <summary>Lining, cover, altitude and more</summary>
        <div className="row">
          <Field label="Lining">
            {(field) => (
              <select
                {...field}
                value={choices.lining}
                onChange={(event) => choose({ lining: event.currentTarget.value as "none" | "paper" })}
              >
                <option value="none">greased only</option>
                <option value="paper">baking paper</option>
              </select>
            )}
          </Field>
          <Field label="Cover">
            {(field) => (
              <select
                {...field}
                value={choices.cover}
                onChange={(event) => choose({ cover: event.currentTarget.value as BakeChoices["cover"] })}
              >
                <option value="none">open</option>
                <option value="foil">foil</option>
                <option value="lid">a lid</option>
              </select>
            )}
          </Field>
          <Field label="Stands on">
            {(field) => (
              <select
                {...field}
                value={choices.shelf}
                onChange={(event) => choose({ shelf: event.currentTarget.value as BakeChoices["shelf"] })}
              >
                <option value="rack">a rack</option>
                <option value="tray">a tray</option>
                <option value="stone">a hot stone</option>
              </select>
            )}
          </Field>
          <TypedNumber
            label="Batter goes in at, °C"
            value={choices.batterC}
            placeholder="22"
            onValue={(batterC) => choose({ batterC })}
          />
          <TypedNumber
            label="Height above the sea, m"
            value={choices.altitude}
            placeholder="0"
            onValue={(altitude) => choose({ altitude })}
          />
          <TypedNumber
            label="Taken out after, min"
            value={choices.minutes}
            placeholder="when done"
            onValue={(minutes) => choose({ minutes })}
          />
          <label className="choice at-foot">
            <input type="checkbox" checked={choices.strip} onChange={(event) => choose({ strip: event.currentTarget.checked })} />
            damp strip around the tin
          </label>
        </div>
      </details>
    </form>
  );
}

function TypedNumber({
  label,
  value,
  placeholder,
  onValue,
}: {
  label: string;
  value: string;
  placeholder: string;
  onValue: (text: string) => void;
}) {
  return (
    <Field label={label}>
      {(field) => (
        <input
          {...field}
          className="short"
          inputMode="decimal"
          value={value}
          placeholder={placeholder}
          onChange={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

import { useMemo, useState } from "react";
import type { TastingCodes } from "../../api/types.js";
import { qrCode, qrPath } from "../../parts/qrCode.js";

/** The codes, once: to be scanned, read out, or cut from paper. Those who have answered go away by themselves. */
export function PhoneCodes({
  codes,
  answered,
  onPrint,
  onClose,
}: {
  codes: TastingCodes;
  answered: ReadonlySet<number>;
  onPrint: (address: string) => void;
  onClose: () => void;
}) {
  const [address, setAddress] = useState(codes.addresses[0]);
  const [shown, setShown] = useState<number | null>(null);
  const open = codes.codes.filter(({ taster }) => !answered.has(taster));
  const ends = new Date(codes.endsAt).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const one = open.find(({ taster }) => taster === shown);
  if (open.length === 0) return <p role="status">Everyone who had a code has answered.</p>;
  const after = open.find(({ taster }) => taster > (shown ?? 0));
  return (
    <section className="stack codes" aria-labelledby="codes">
      <h2 id="codes">Codes</h2>
      {address === undefined ? (
        <LoopbackOnly />
      ) : (
        <>
          <p>
            On the same network, a taster scans their QR code, or opens{" "}
            <b className="figures">{address.replace(/^http:\/\//, "")}/taste</b> and types the letters.
          </p>
          {codes.addresses.length < 2 ? null : (
            <label className="field">
              <span className="label">Address of this machine on the tasters' network</span>
              <select value={address} onChange={(event) => setAddress(event.currentTarget.value)}>
                {codes.addresses.map((each) => (
                  <option key={each} value={each}>
                    {each.replace(/^http:\/\//, "")}
                  </option>
                ))}
              </select>
            </label>
          )}
        </>
      )}
      {one === undefined || address === undefined ? null : (
        <div className="code-shown" ref={intoView} key={one.taster}>
          <QrPicture text={address + one.path} label={`QR code for the phone of taster ${one.taster}`} />
          <p className="figures">
            <span className="muted">taster {one.taster}</span>
            <b>{one.code}</b>
          </p>
          <div className="buttons">
            {after === undefined ? null : (
              <button type="button" className="button main" onClick={() => setShown(after.taster)}>
                Next taster
              </button>
            )}
            <button type="button" className="button plain" onClick={() => setShown(null)}>
              All codes
            </button>
          </div>
        </div>
      )}
      {one !== undefined && address !== undefined ? null : (
        <ul className="code-list figures">
          {open.map(({ taster, code, path }) => (
            <li key={taster}>
              <span className="muted">taster {taster}</span>
              <a href={path} target="_blank" rel="noreferrer">
                {code}
              </a>
              {address === undefined ? null : (
                <button
                  type="button"
                  className="words accent"
                  aria-label={`Show the QR code of taster ${taster}`}
                  onClick={() => setShown(taster)}
                >
                  QR code
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
      <p className="muted">
        Each is for one answer and ends at {ends}, or when the server stops. They are shown only now; new ones take their place.
      </p>
      <div className="buttons">
        {address === undefined ? null : (
          <>
            {shown !== null ? null : (
              <button type="button" className="button plain" onClick={() => setShown(open[0]!.taster)}>
                One after the other
              </button>
            )}
            <button type="button" className="button plain" onClick={() => onPrint(address)}>
              Print cards
            </button>
          </>
        )}
        <button type="button" className="button plain" onClick={onClose}>
          Put them away
        </button>
      </div>
    </section>
  );
}

/** A code that was asked for is what is to be seen, whole. */
const intoView = (element: HTMLElement | null) => element?.scrollIntoView({ block: "center" });

/** Said where phones cannot reach the server, with what to start it with instead. */
export function LoopbackOnly() {
  return (
    <div className="notice">
      <p>
        Phones cannot reach this server: it listens to its own machine only. Stop it and start it with{" "}
        <code>evencrumb serve --host 0.0.0.0{location.port === "" ? "" : ` --port ${location.port}`}</code>, beside what you start
        it with otherwise. Whoever is on the same network can then open the whole bakery, so do it on a network of your own and
        for the time of the tasting.
      </p>
      <p>Without it, answers can be taken on paper and written down here.</p>
    </div>
  );
}

/** Drawn dark on white in either theme: a phone's camera wants it so. */
function QrPicture({ text, label }: { text: string; label: string }) {
  const modules = useMemo(() => qrCode(text), [text]);
  const size = modules.length + 8;
  return (
    <svg
      className="qr"
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label={label}
      data-text={text}
      shapeRendering="crispEdges"
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={qrPath(modules)} fill="#000" />
    </svg>
  );
}

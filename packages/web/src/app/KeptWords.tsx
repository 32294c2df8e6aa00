import { useNewerApp } from "./newerApp.js";
import { useHouse, useOutboxState } from "./useHouse.js";

/** A few words on where the work is: here, or also on the server. */
export function KeptWords() {
  const house = useHouse();
  const { waiting, reachable, sentAt, refused } = useOutboxState();
  const newer = useNewerApp();
  const changes = `${waiting} ${waiting === 1 ? "change" : "changes"}`;
  const state = refused.length > 0 ? "refused" : !reachable ? "waiting" : waiting > 0 ? "sending" : "kept";
  return (
    <div className="kept" role="status" data-state={state === "refused" ? "waiting" : state}>
      {newer === null ? null : (
        <>
          <button type="button" className="words accent" onClick={newer}>
            a newer Evencrumb is here: open it
          </button>{" "}
        </>
      )}
      {state === "refused" ? (
        <>
          The server did not take {refused.length === 1 ? "a change" : `${refused.length} changes`}: {refused.at(-1)?.why}{" "}
          <button type="button" className="words" onClick={() => house.outbox.forgetRefused()}>
            Let it go
          </button>
        </>
      ) : state === "waiting" ? (
        waiting === 0 ? (
          "no network; kept on this device"
        ) : (
          `kept on this device, ${changes} to send`
        )
      ) : state === "sending" ? (
        "kept here, sending…"
      ) : sentAt === null ? (
        ""
      ) : (
        `kept ${new Date(sentAt).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" })}`
      )}
    </div>
  );
}

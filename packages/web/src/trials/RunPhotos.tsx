import { useEffect, useRef, useState } from "react";
import { useHouse } from "../app/useHouse.js";
import { keepPhoto, PHOTOS_PER_RUN, type Photo, PhotoError } from "./photos.js";

/** Pictures of one run: taken with the tablet or chosen, kept small, and there without a network. */
export function RunPhotos({
  trialId,
  trialName,
  run,
  photos,
  onPhotos,
}: {
  trialId: string;
  trialName: string;
  run: number;
  photos: readonly string[];
  /** Told what to do with the pictures that are there by then. */
  onPhotos: (change: (photos: readonly string[]) => readonly string[]) => void;
}) {
  const house = useHouse();
  const file = useRef<HTMLInputElement>(null);
  const [state, setState] = useState<"idle" | "working" | { readonly wrong: string }>("idle");
  const take = (chosen: File | undefined) => {
    if (chosen === undefined) return;
    setState("working");
    keepPhoto(house, chosen, { name: `Run ${run} of ${trialName}`.slice(0, 200), trialId, run }).then(
      (id) => {
        onPhotos((now) => [...now, id]);
        setState("idle");
      },
      (error: unknown) => {
        if (!(error instanceof PhotoError) && !(error instanceof DOMException)) throw error;
        setState({ wrong: error instanceof PhotoError ? error.message : "There is no room for it on this device." });
      },
    );
  };
  return (
    <section className="run-photos" aria-labelledby="photos">
      <h2 id="photos" className="label">
        Pictures
      </h2>
      <ul>
        {photos.map((id, index) => (
          <li key={id}>
            <Picture id={id} label={`Picture ${index + 1} of run ${run}`} />
            <button
              type="button"
              className="words accent"
              aria-label={`Take picture ${index + 1} off this run`}
              onClick={() => onPhotos((now) => now.filter((one) => one !== id))}
            >
              take off
            </button>
          </li>
        ))}
      </ul>
      {photos.length >= PHOTOS_PER_RUN ? null : (
        <button
          type="button"
          className="button plain at-start"
          disabled={state === "working"}
          onClick={() => file.current?.click()}
        >
          {state === "working" ? "Keeping it…" : "Add a picture"}
        </button>
      )}
      <input
        ref={file}
        type="file"
        hidden
        accept="image/*"
        capture="environment"
        aria-label="A picture of this run"
        onChange={(event) => {
          const [chosen] = event.currentTarget.files ?? [];
          event.currentTarget.value = "";
          take(chosen);
        }}
      />
      {typeof state === "object" ? (
        <p className="wrong" role="alert">
          {state.wrong}
        </p>
      ) : photos.length === 0 ? (
        <p className="muted small">
          A slice beside a ruler, always from the same side and in the same light. It is kept scaled down.
        </p>
      ) : null}
    </section>
  );
}

function Picture({ id, label }: { id: string; label: string }) {
  const house = useHouse();
  const [photo, setPhoto] = useState<Photo | "missing" | null>(null);
  useEffect(() => {
    let wanted = true;
    void house
      .document<Photo>(id)
      .catch(() => undefined)
      .then((detail) => {
        if (wanted) setPhoto(detail === undefined ? "missing" : detail.latest.body);
      });
    return () => {
      wanted = false;
    };
  }, [house, id]);
  if (photo === null) return <span className="muted">Opening…</span>;
  if (photo === "missing")
    return <span className="muted">This picture is on another device and comes when the network is there.</span>;
  return <img src={`data:${photo.type};base64,${photo.data}`} width={photo.width} height={photo.height} alt={label} />;
}

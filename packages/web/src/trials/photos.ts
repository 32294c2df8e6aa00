import type { House } from "../app/house.js";

/** A picture of a run, as it is kept: a document of its own, so that the sheet stays small. */
export interface Photo {
  readonly name: string;
  readonly trialId: string;
  readonly run: number;
  readonly type: "image/jpeg";
  readonly width: number;
  readonly height: number;
  /** The picture, base64. */
  readonly data: string;
  /** ISO 8601. */
  readonly takenAt: string;
}

/** Enough to see crumb and crust on a tablet [pixels along the longer side]. */
const SIDE_MAX = 1280;
/** So that a whole trial fits on a device that has no network [bytes of JPEG]. */
const BYTES_MAX = 110_000;
export const PHOTOS_PER_RUN = 3;
/** Pictures that may wait on this device for the server: about 150 000 characters each, of five million that a browser keeps. */
const WAITING_MAX = 20;

/** Why a picture cannot be kept, in words for the baker. */
export class PhotoError extends Error {
  override name = "PhotoError";
}

/**
 * Scales a picture down and keeps it, on this device at once.
 *
 * @returns the id under which it is kept
 * @throws PhotoError when it is no picture, or too many wait for the network
 */
export async function keepPhoto(house: House, file: Blob, about: Pick<Photo, "name" | "trialId" | "run">): Promise<string> {
  const waiting = house.outbox.waiting().filter((change) => change.does === "create" && change.kind === "photo").length;
  if (waiting >= WAITING_MAX)
    throw new PhotoError(`${waiting} pictures wait for the server: more fit on this device when they have gone out.`);
  const picture = await createImageBitmap(file).catch((cause: unknown) => {
    throw new PhotoError("This is no picture that the browser can read. Take a JPEG or PNG.", { cause });
  });
  let scale = Math.min(1, SIDE_MAX / Math.max(picture.width, picture.height));
  for (let quality = 0.8; ; quality -= 0.12) {
    const [width, height] = [Math.max(1, Math.round(picture.width * scale)), Math.max(1, Math.round(picture.height * scale))];
    const jpeg = await drawn(picture, width, height, quality);
    if (jpeg.size <= BYTES_MAX) {
      picture.close();
      const body: Photo = {
        ...about,
        type: "image/jpeg",
        width,
        height,
        data: await base64(jpeg),
        takenAt: new Date().toISOString(),
      };
      return house.create("photo", body);
    }
    // Coarser first, then smaller.
    if (quality < 0.5) {
      scale *= 0.75;
      quality = 0.8;
    }
  }
}

async function drawn(picture: ImageBitmap, width: number, height: number, quality: number): Promise<Blob> {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [width, height];
  const context = canvas.getContext("2d");
  if (context === null) throw new PhotoError("This browser cannot scale pictures.");
  context.fillStyle = "#fff"; // under what is see-through: a JPEG would make it black
  context.fillRect(0, 0, width, height);
  context.drawImage(picture, 0, 0, width, height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
  if (blob === null) throw new PhotoError("This browser cannot scale pictures.");
  return blob;
}

async function base64(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
}

// One phrase to share: as a picture, or as a handout that plays.
import { hand, product, save, type Choice } from "./api";
import type { Place } from "./contents";

/** The measures of the phrase that sounds at a quarter note, "9-16"; without one, of the measure of that number. */
export function phraseAt(places: readonly Place[], q: number, number: string): string {
  const phrase = places.find((p) => p.kind === "phrase" && p.from <= q && q < p.to);
  return phrase ? phrase.where.replace(/^mm?\. /, "").replace("–", "-") : number;
}

/** Saves some measures as a drawing (svg), as an image (png) or as a page of their own (report); the file's name. */
export async function share(choice: Choice, as: string, measures: string): Promise<string> {
  if (as === "report") return save(choice, "report", { only: measures });
  const { blob, name } = await product(choice, "picture", { only: measures });
  if (as === "svg") {
    hand(blob, name);
    return name;
  }
  const image = name.replace(/\.svg$/, ".png");
  hand(await inPixels(await blob.text()), image);
  return image;
}

const fine = 2; // pixels of the image for one of the drawing

/** A drawing as an image. */
async function inPixels(drawing: string): Promise<Blob> {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(drawing)}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [image.width * fine, image.height * fine];
  canvas.getContext("2d")!.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/png"));
  if (!blob) throw new Error("This browser cannot make an image of that size. Take the drawing (.svg).");
  return blob;
}

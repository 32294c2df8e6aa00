/** Hands a file to the browser's own saving. */
export function download(name: string, content: string | Blob, type: string): void {
  const url = URL.createObjectURL(content instanceof Blob ? content : new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name.replace(/[\\/:*?"<>|]+/g, "-");
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** Prints a document of its own without leaving the page. */
export function printPage(html: string, title: string): void {
  const frame = document.createElement("iframe");
  frame.className = "print-frame";
  frame.title = title;
  frame.srcdoc = html;
  frame.addEventListener("load", () => {
    frame.contentWindow?.addEventListener("afterprint", () => frame.remove());
    frame.contentWindow?.print();
  });
  document.body.append(frame);
}

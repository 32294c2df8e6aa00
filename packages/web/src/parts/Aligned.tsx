/** A figure whose decimal point stands under the one above it. */
export function Aligned({ text }: { text: string }) {
  const at = text.indexOf(".");
  return (
    <span className="aligned">
      {at < 0 ? text : text.slice(0, at)}
      <span className="fraction">{at < 0 ? "" : text.slice(at)}</span>
    </span>
  );
}

/** What changed against the revision it is compared with: a sign, always, and never by colour alone. */
export function Difference({ text }: { text: string | null }) {
  return text === null ? null : <span className="difference figures">{text}</span>;
}

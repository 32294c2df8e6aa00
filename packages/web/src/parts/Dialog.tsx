import { type ReactNode, useEffect, useRef } from "react";

/** A native dialogue: it holds the focus, Escape closes it, and the focus goes back to where it came from. */
export function Dialog({
  title,
  children,
  onClose,
  wide = false,
}: {
  title: string;
  children: ReactNode;
  onClose: () => void;
  wide?: boolean;
}) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const from = document.activeElement;
    const element = dialog.current;
    if (element !== null && !element.open) element.showModal();
    return () => {
      element?.close();
      if (from instanceof HTMLElement && from.isConnected) from.focus();
    };
  }, []);
  return (
    <dialog
      ref={dialog}
      className={wide ? "wide" : undefined}
      aria-label={title}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onKeyDown={(event) => event.stopPropagation()}
    >
      <header>
        <h2>{title}</h2>
      </header>
      {children}
    </dialog>
  );
}

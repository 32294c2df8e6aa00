import { type ReactNode, type Ref, useImperativeHandle, useRef, useState } from "react";
import { type Action, keyWords } from "./action.js";

/** A button for an action; greyed while it does not apply. */
export function ActionButton<Context>({
  action,
  context,
  kind = "plain",
  children,
}: {
  action: Action<Context>;
  context: Context;
  kind?: "plain" | "main" | "quiet";
  children?: ReactNode;
}) {
  const key = action.keys?.[0];
  return (
    <button
      type="button"
      className={`button ${kind}`}
      data-action={action.name}
      disabled={!action.applies(context)}
      title={key === undefined ? undefined : `${action.label} (${keyWords(key)})`}
      onClick={() => action.does(context)}
    >
      {children ?? action.label}
    </button>
  );
}

export interface MenuHandle<Context> {
  /** Opens under an element, for what the baker pointed at. */
  open(opener: HTMLElement, context: Context): void;
}

/** One menu that any number of buttons can open. null in `actions` draws a line. Arrows move in it, Escape closes it. */
export function Menu<Context>({
  label,
  actions,
  heading,
  ref,
}: {
  label: string;
  actions: (context: Context) => readonly (Action<Context> | null)[];
  /** Said above the actions: what they are about. */
  heading?: (context: Context) => ReactNode;
  ref: Ref<MenuHandle<Context>>;
}) {
  const menu = useRef<HTMLDivElement>(null);
  const opener = useRef<HTMLElement | null>(null);
  const [context, setContext] = useState<Context | null>(null);
  useImperativeHandle(ref, () => ({
    open(from, about) {
      opener.current = from;
      setContext(about);
      menu.current?.showPopover();
    },
  }));
  const items = () => [...(menu.current?.querySelectorAll<HTMLButtonElement>("[role=menuitem]:not(:disabled)") ?? [])];
  const shown = context === null ? [] : actions(context);
  return (
    <div
      ref={menu}
      popover="auto"
      className="menu"
      role="menu"
      aria-label={label}
      tabIndex={-1}
      onToggle={(event) => {
        if (event.newState !== "open") {
          if (document.activeElement === document.body || menu.current?.contains(document.activeElement)) opener.current?.focus();
          return;
        }
        placeUnder(opener.current, menu.current);
        (items()[0] ?? menu.current)?.focus();
      }}
      onKeyDown={(event) => {
        event.stopPropagation(); // the sheet below has arrows of its own
        const all = items();
        const at = all.indexOf(document.activeElement as HTMLButtonElement);
        const move = { ArrowDown: 1, ArrowUp: -1, Home: -at, End: all.length - 1 - at }[event.key];
        if (move === undefined || all.length === 0) return;
        event.preventDefault();
        all[(at + move + all.length) % all.length]?.focus();
      }}
    >
      {context === null || heading === undefined ? null : <div className="menu-heading">{heading(context)}</div>}
      {shown.map((action, index) =>
        action === null ? (
          // biome-ignore lint/suspicious/noArrayIndexKey: a line has nothing else to be known by
          <hr key={`line-${index}`} />
        ) : (
          <button
            key={action.name}
            type="button"
            role="menuitem"
            data-action={action.name}
            disabled={context === null || !action.applies(context)}
            onClick={() => {
              const about = context;
              menu.current?.hidePopover();
              if (about !== null) action.does(about);
            }}
          >
            <span>{action.label}</span>
            {action.keys?.[0] === undefined ? null : <kbd>{keyWords(action.keys[0])}</kbd>}
          </button>
        ),
      )}
    </div>
  );
}

/** A button with its own menu. */
export function ActionMenu<Context>({
  label,
  actions,
  context,
  children,
  className = "button plain",
}: {
  label: string;
  actions: readonly (Action<Context> | null)[];
  context: () => Context;
  children?: ReactNode;
  className?: string;
}) {
  const menu = useRef<MenuHandle<Context>>(null);
  return (
    <>
      <button
        type="button"
        className={className}
        aria-haspopup="menu"
        aria-label={label}
        title={label}
        onClick={(event) => menu.current?.open(event.currentTarget, context())}
      >
        {children ?? label}
      </button>
      <Menu ref={menu} label={label} actions={() => actions} />
    </>
  );
}

/** Under the opener, and inside the window. */
export function placeUnder(opener: HTMLElement | null, popup: HTMLElement | null): void {
  if (opener === null || popup === null) return;
  const place = opener.getBoundingClientRect();
  const { offsetWidth: width, offsetHeight: height } = popup;
  const below = place.bottom + 4;
  popup.style.left = `${Math.max(8, Math.min(place.left, window.innerWidth - width - 8))}px`;
  popup.style.top = `${below + height > window.innerHeight - 8 ? Math.max(8, place.top - height - 4) : below}px`;
}

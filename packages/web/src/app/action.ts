/**
 * Something the baker can do, said once: the button, the menu, the keyboard and the test all use this one.
 *
 * `Context` is what the action needs to know: the open formula, the chosen cell.
 */
export interface Action<Context> {
  /** Stable, for tests and for the list of keys. */
  readonly name: string;
  /** What the button says. */
  readonly label: string;
  /** "Control+Z", "Alt+ArrowUp", "F2"; the first one is shown. Control means Command on a Mac. */
  readonly keys?: readonly string[];
  readonly applies: (context: Context) => boolean;
  readonly does: (context: Context) => void;
}

export function defineActions<Context>() {
  return <const Name extends string>(actions: Record<Name, Omit<Action<Context>, "name">>): Record<Name, Action<Context>> => {
    const named = {} as Record<Name, Action<Context>>;
    for (const name of Object.keys(actions) as Name[]) named[name] = { name, ...actions[name] };
    return named;
  };
}

interface Keystroke {
  readonly key: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
  readonly altKey: boolean;
}

/** "Control+Shift+Z" for a keystroke. Shift is not said for a character that already is the shifted one. */
export function keyName(stroke: Keystroke): string {
  const printable = stroke.key.length === 1;
  const letter = printable && /[a-z]/i.test(stroke.key);
  return [
    stroke.ctrlKey || stroke.metaKey ? "Control+" : "",
    stroke.altKey ? "Alt+" : "",
    stroke.shiftKey && (!printable || letter) ? "Shift+" : "",
    letter ? stroke.key.toUpperCase() : stroke.key,
  ].join("");
}

/** The action that a keystroke asks for, if one applies now. */
export function actionForKey<Context>(
  actions: readonly Action<Context>[],
  stroke: Keystroke,
  context: Context,
): Action<Context> | undefined {
  const pressed = keyName(stroke);
  return actions.find((action) => action.keys?.includes(pressed) === true && action.applies(context));
}

const SHORT: Readonly<Record<string, string>> = {
  Control: "Ctrl",
  ArrowUp: "↑",
  ArrowDown: "↓",
  ArrowLeft: "←",
  ArrowRight: "→",
  Delete: "Del",
  Insert: "Ins",
};

/** "Ctrl+Z", as it is printed in a menu. */
export const keyWords = (key: string): string =>
  key
    .split("+")
    .map((part) => SHORT[part] ?? part)
    .join("+");

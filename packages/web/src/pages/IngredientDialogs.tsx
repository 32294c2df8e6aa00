import {
  ALLERGEN_KINDS,
  ALLERGEN_WORDS,
  ALLERGENS,
  type Allergen,
  type CompoundPart,
  compoundIngredient,
  displayName,
  FURTHER_NUTRIENTS,
  formatAllergen,
  furtherStatedOf,
  type Ingredient,
  ingredientFromPacket,
  type Packet,
  type PacketDeclaration,
  ROLES,
  type Role,
  searchIngredients,
} from "@evencrumb/core/ingredients";
import { type Problem, readGrams } from "@evencrumb/core/quantities";
import { type FormEvent, useId, useMemo, useState } from "react";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { Dialog } from "../parts/Dialog.js";
import { Field, problemWords } from "../parts/Field.js";
import { AllergenEffect } from "./AllergenEffect.js";
import { FurtherFields, furtherFromTexts, furtherTexts } from "./FurtherFields.js";

interface EditorProps {
  name: string;
  /** The one that is changed; null makes a new one. */
  kept: Kept<Ingredient> | null;
  onClose: () => void;
  onDone: (id: string) => void;
}

const ROLE_WORDS: Readonly<Record<Role, string>> = {
  flour: "a flour or starch",
  fat: "a fat",
  sugar: "a sugar or syrup",
  egg: "egg",
  dairy: "dairy",
  liquid: "another liquid",
  raising: "a raising agent",
  chocolate: "chocolate or cocoa",
  nut: "nuts",
  fruit: "fruit",
  flavour: "a flavour",
  salt: "salt",
  thickener: "a thickener",
  other: "something else",
};

const PACKET_FIELDS: readonly { readonly field: keyof PacketDeclaration; readonly label: string; readonly within?: true }[] = [
  { field: "energyKj", label: "Energy, kJ" },
  { field: "energyKcal", label: "Energy, kcal" },
  { field: "fat", label: "Fat" },
  { field: "saturates", label: "of which saturates", within: true },
  { field: "carbohydrate", label: "Carbohydrate" },
  { field: "sugars", label: "of which sugars", within: true },
  { field: "starch", label: "of which starch", within: true },
  { field: "polyols", label: "of which polyols", within: true },
  { field: "fibre", label: "Fibre" },
  { field: "protein", label: "Protein" },
  { field: "salt", label: "Salt" },
  { field: "alcohol", label: "Alcohol" },
];

const numberOrNone = (text: string): number | undefined => (text.trim() === "" ? undefined : Number(text.replace(",", ".")));

/** An ingredient of the baker's own from its packet: what the packet prints, per 100 g. */
export function PacketDialog({ name: givenName, kept, onClose, onDone }: EditorProps) {
  const house = useHouse();
  const { book } = useHouseState();
  const before = kept?.body;
  const [name, setName] = useState(before?.name ?? givenName);
  const [role, setRole] = useState<Role>(before?.role ?? "other");
  const [texts, setTexts] = useState<Readonly<Record<string, string>>>(() => (before === undefined ? {} : declaredTexts(before)));
  const [further, setFurther] = useState(() => furtherTexts(before === undefined ? {} : furtherStatedOf(before)));
  const [water, setWater] = useState(() => (before?.per100g.water.known ? String(before.per100g.water.value) : ""));
  const [byDifference, setByDifference] = useState(false);
  const [withFibre, setWithFibre] = useState(false);
  const [contains, setContains] = useState<readonly Allergen[]>(before?.contains ?? []);
  const [mayContain, setMayContain] = useState<readonly Allergen[]>(before?.mayContain ?? []);
  const [asked, setAsked] = useState(false);
  const per100g = Object.fromEntries(
    PACKET_FIELDS.flatMap(({ field }) => {
      const value = numberOrNone(texts[field] ?? "");
      return value === undefined ? [] : [[field, value]];
    }),
  ) as PacketDeclaration;
  const waterGrams = byDifference ? ("by-difference" as const) : numberOrNone(water);
  const packet: Packet = {
    name,
    role,
    per100g,
    furtherPer100g: furtherFromTexts(further),
    contains,
    mayContain,
    ...(before === undefined ? {} : { id: before.id, ...(before.packs === undefined ? {} : { packs: before.packs }) }),
    ...(waterGrams === undefined ? {} : { waterGrams }),
    ...(withFibre ? { carbohydrateIncludesFibre: true } : {}),
  };
  const reading = ingredientFromPacket(packet);
  const clash = before === undefined && book.get(reading.value.id) !== undefined && name.trim() !== "";
  const wrongAt = (field: string): string | null => {
    const problem = reading.problems.find(({ path }) => path.at(-1) === field);
    return problem === undefined ? null : problemWords(problem);
  };
  const elsewhere = reading.problems.filter(({ path }) => !isFieldOf(path));
  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (reading.problems.length > 0 || clash) return;
    if (kept === null) void house.create("ingredient", reading.value);
    else house.replace("ingredient", kept, reading.value);
    onClose();
    onDone(reading.value.id);
  };
  return (
    <Dialog title={kept === null ? "Add an ingredient from its packet" : `Change ${kept.body.name}`} onClose={onClose} wide>
      <form onSubmit={save} className="stack">
        <div className="row">
          <Field
            label="Name"
            className="grow"
            wrong={asked ? (clash ? "There is an ingredient of this name; give yours another." : wrongAt("name")) : null}
          >
            {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
          </Field>
          <Field label="In a cake it is">
            {(field) => (
              <select {...field} value={role} onChange={(event) => setRole(event.currentTarget.value as Role)}>
                {ROLES.map((one) => (
                  <option key={one} value={one}>
                    {ROLE_WORDS[one]}
                  </option>
                ))}
              </select>
            )}
          </Field>
        </div>
        <fieldset className="packet">
          <legend>Per 100 g, as the packet prints it. Leave empty what it does not say.</legend>
          {PACKET_FIELDS.map(({ field: name, label, within }) => (
            <Field
              key={name}
              label={label}
              className={within ? "within" : ""}
              wrong={(texts[name] ?? "") === "" ? null : wrongAt(name)}
            >
              {(field) => (
                <input
                  {...field}
                  inputMode="decimal"
                  value={texts[name] ?? ""}
                  onChange={(event) => setTexts({ ...texts, [name]: event.currentTarget.value })}
                />
              )}
            </Field>
          ))}
          <Field label="Water, if you know it" wrong={water === "" ? null : wrongAt("waterGrams")}>
            {(field) => (
              <input
                {...field}
                inputMode="decimal"
                disabled={byDifference}
                value={byDifference ? "" : water}
                onChange={(event) => setWater(event.currentTarget.value)}
              />
            )}
          </Field>
        </fieldset>
        <div className="row">
          <label className="choice">
            <input type="checkbox" checked={byDifference} onChange={(event) => setByDifference(event.currentTarget.checked)} />
            count what is left of 100 g as water
          </label>
          <label className="choice">
            <input type="checkbox" checked={withFibre} onChange={(event) => setWithFibre(event.currentTarget.checked)} />a US
            packet: its carbohydrate holds the fibre
          </label>
        </div>
        <FurtherFields
          legend="What a US label asks for besides, if the supplier says it. In 100 g, not in a serving."
          texts={further}
          problems={reading.problems}
          onChange={setFurther}
        />
        <AllergenPicker label="Contains" chosen={contains} onChange={setContains} />
        <AllergenPicker
          label="May contain, as you state it after your own assessment"
          chosen={mayContain}
          onChange={setMayContain}
        />
        {elsewhere.length > 0 ? (
          <div role="alert">
            <ul className="problems">
              {elsewhere.map((problem) => (
                <li key={problem.path.join() + problem.code}>{problemWords(problem)}</li>
              ))}
            </ul>
          </div>
        ) : null}
        {before === undefined ? null : <AllergenEffect ingredient={reading.value} />}
        <Footer onClose={onClose} />
      </form>
    </Dialog>
  );
}

const isFieldOf = (path: Problem["path"]): boolean =>
  ["name", "waterGrams", ...FURTHER_NUTRIENTS].includes(String(path.at(-1))) ||
  PACKET_FIELDS.some(({ field }) => field === path.at(-1));

/** The packet's fields back from the figures that were made of them. */
function declaredTexts(ingredient: Ingredient): Record<string, string> {
  const texts: Record<string, string> = {};
  const show = (field: string, value: number) => {
    texts[field] = String(Number(value.toFixed(4)));
  };
  const { per100g } = ingredient;
  for (const { field } of PACKET_FIELDS) {
    if (field === "salt") {
      if (per100g.sodium.known) show("salt", per100g.sodium.value * 2.5);
    } else if (field === "carbohydrate") {
      if (per100g.carbohydrate.known) show(field, per100g.carbohydrate.value - (per100g.fibre.known ? per100g.fibre.value : 0));
    } else {
      const figure = per100g[field];
      if (figure.known) show(field, figure.value);
    }
  }
  return texts;
}

/** An ingredient made from others: a jam, a praline, a pre-mix. */
export function CompoundDialog({ name: givenName, kept, onClose, onDone }: EditorProps) {
  const house = useHouse();
  const { book, settings } = useHouseState();
  const before = kept?.body;
  const [name, setName] = useState(before?.name ?? givenName);
  const [role, setRole] = useState<Role>(before?.role ?? "other");
  const [loss, setLoss] = useState(before?.partsLossPercent === undefined ? "" : String(before.partsLossPercent));
  const [parts, setParts] = useState<readonly { readonly key: number; readonly name: string; readonly grams: string }[]>(() =>
    (before?.parts ?? [{ ingredient: "", grams: 0 }]).map((part, key) => ({
      key,
      name: book.get(part.ingredient)?.name ?? part.ingredient,
      grams: part.grams > 0 ? String(part.grams) : "",
    })),
  );
  const [asked, setAsked] = useState(false);
  const listId = useId();
  const read = useMemo(
    () =>
      parts
        .filter((part) => part.name.trim() !== "" || part.grams.trim() !== "")
        .map((part): CompoundPart => {
          const [best] = searchIngredients(book, part.name, { names: settings.names, limit: 1 });
          const grams = readGrams(part.grams);
          return { ingredient: best?.exact ? best.ingredient.id : part.name.trim(), grams: grams.ok ? grams.value : Number.NaN };
        }),
    [parts, book, settings.names],
  );
  const id = before?.id ?? slug(name);
  const lossPercent = numberOrNone(loss);
  const reading = compoundIngredient(
    {
      id,
      name: name.trim(),
      role,
      parts: read,
      ...(lossPercent === undefined ? {} : { partsLossPercent: lossPercent }),
      ...(before?.mayContain === undefined ? {} : { mayContain: before.mayContain }),
      ...(before?.packs === undefined ? {} : { packs: before.packs }),
    },
    book,
  );
  const wrongName =
    name.trim() === ""
      ? "Give it a name."
      : before === undefined && book.get(id) !== undefined
        ? "There is an ingredient of this name; give yours another."
        : null;
  const save = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (wrongName !== null || reading.problems.length > 0) return;
    if (kept === null) void house.create("ingredient", reading.value);
    else house.replace("ingredient", kept, reading.value);
    onClose();
    onDone(id);
  };
  const change = (key: number, part: { name?: string; grams?: string }) =>
    setParts((all) => all.map((one) => (one.key === key ? { ...one, ...part } : one)));
  return (
    <Dialog title={kept === null ? "Make an ingredient from others" : `Change ${kept.body.name}`} onClose={onClose}>
      <form onSubmit={save} className="stack">
        <div className="row">
          <Field label="Name" className="grow" wrong={asked ? wrongName : null}>
            {(field) => <input {...field} value={name} onChange={(event) => setName(event.currentTarget.value)} />}
          </Field>
          <Field label="In a cake it is">
            {(field) => (
              <select {...field} value={role} onChange={(event) => setRole(event.currentTarget.value as Role)}>
                {ROLES.map((one) => (
                  <option key={one} value={one}>
                    {ROLE_WORDS[one]}
                  </option>
                ))}
              </select>
            )}
          </Field>
        </div>
        <fieldset className="targets-edit">
          <legend>Made from</legend>
          {parts.map((part) => (
            <div key={part.key} className="part-edit">
              <input
                aria-label="Ingredient"
                list={listId}
                value={part.name}
                onChange={(event) => change(part.key, { name: event.currentTarget.value })}
              />
              <input
                aria-label={`Grams of ${part.name || "it"}`}
                className="short"
                inputMode="decimal"
                placeholder="grams"
                value={part.grams}
                onChange={(event) => change(part.key, { grams: event.currentTarget.value })}
              />
              <button
                type="button"
                className="button quiet"
                aria-label={`Remove ${part.name || "this part"}`}
                onClick={() => setParts((all) => all.filter(({ key }) => key !== part.key))}
              >
                Remove
              </button>
            </div>
          ))}
          <datalist id={listId}>
            {book.all.map((ingredient) => (
              <option key={ingredient.id} value={displayName(ingredient, settings.names)} />
            ))}
          </datalist>
          <button
            type="button"
            className="button plain"
            onClick={() =>
              setParts((all) => [...all, { key: Math.max(-1, ...all.map(({ key }) => key)) + 1, name: "", grams: "" }])
            }
          >
            Add a part
          </button>
        </fieldset>
        <Field label="Water lost while it is made, %" help="Weigh the parts before and the jam after.">
          {(field) => (
            <input
              {...field}
              className="short"
              inputMode="decimal"
              value={loss}
              onChange={(event) => setLoss(event.currentTarget.value)}
            />
          )}
        </Field>
        {reading.problems.length > 0 && (asked || read.length > 0) ? (
          <div role={asked ? "alert" : undefined}>
            <ul className="problems">
              {reading.problems.map((problem) => (
                <li key={problem.path.join() + problem.found}>{problemWords(problem)}</li>
              ))}
            </ul>
          </div>
        ) : (
          <p className="muted">
            {reading.value.contains.length === 0
              ? ""
              : `Contains ${reading.value.contains.map(formatAllergen).join(", ")}, from its parts.`}
          </p>
        )}
        {before === undefined ? null : <AllergenEffect ingredient={reading.value} />}
        <Footer onClose={onClose} />
      </form>
    </Dialog>
  );
}

const slug = (name: string): string =>
  name
    .normalize("NFD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");

/** What only the baker knows of any ingredient: what it may contain. */
export function OwnFactsDialog({
  ingredient,
  kept,
  onClose,
}: {
  ingredient: Ingredient;
  kept: Kept<Ingredient> | null;
  onClose: () => void;
}) {
  const house = useHouse();
  const { settings } = useHouseState();
  const [mayContain, setMayContain] = useState(ingredient.mayContain);
  const save = (event: FormEvent) => {
    event.preventDefault();
    // As it is seen it carries the prices of every list; its own document holds only what was written there.
    const { packs: _seen, ...plain } = ingredient;
    const packs = kept?.body.packs;
    const body: Ingredient = { ...plain, ...(packs === undefined ? {} : { packs }), mayContain };
    if (kept === null) void house.create("ingredient", body);
    else house.replace("ingredient", kept, body);
    onClose();
  };
  return (
    <Dialog title={`${displayName(ingredient, settings.names)}: may contain`} onClose={onClose}>
      <form onSubmit={save} className="stack">
        <AllergenPicker
          label="May contain, as you state it after your own assessment"
          chosen={mayContain}
          onChange={setMayContain}
        />
        <Footer onClose={onClose} />
      </form>
    </Dialog>
  );
}

function Footer({ onClose }: { onClose: () => void }) {
  return (
    <footer>
      <button type="button" className="button plain" onClick={onClose}>
        Cancel
      </button>
      <button type="submit" className="button main">
        Done
      </button>
    </footer>
  );
}

const ALL_ALLERGENS: readonly Allergen[] = ALLERGENS.flatMap((allergen): Allergen[] => {
  const kinds = ALLERGEN_KINDS[allergen];
  return kinds === undefined ? [{ allergen }] : kinds.map((kind) => ({ allergen, kind }));
});

function AllergenPicker({
  label,
  chosen,
  onChange,
}: {
  label: string;
  chosen: readonly Allergen[];
  onChange: (chosen: readonly Allergen[]) => void;
}) {
  const same = (a: Allergen, b: Allergen) => a.allergen === b.allergen && a.kind === b.kind;
  return (
    <fieldset className="allergen-picker">
      <legend>{label}</legend>
      {ALL_ALLERGENS.map((one) => {
        const picked = chosen.some((other) => same(one, other));
        return (
          <label key={`${one.allergen}-${one.kind ?? ""}`} className="choice">
            <input
              type="checkbox"
              checked={picked}
              onChange={() => onChange(picked ? chosen.filter((other) => !same(one, other)) : [...chosen, one])}
            />
            {one.kind ?? ALLERGEN_WORDS[one.allergen]}
          </label>
        );
      })}
    </fieldset>
  );
}

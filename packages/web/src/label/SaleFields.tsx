import { LABEL_LANGUAGES, type LabelPlace, SALE_MODES, type SaleMode } from "@evencrumb/core/label";
import { LANGUAGE_WORDS, PLACE_WORDS } from "./documents.js";
import { Choice, type FieldsProps, Group, setInput, TextField } from "./fieldParts.js";

const MODE_WORDS: Readonly<Record<SaleMode, string>> = {
  prepacked: "packed before sale",
  "direct-sale": "packed where it is sold",
  loose: "loose",
  distance: "at a distance",
};

/** Where and how it is sold, and what it is called. */
export function SaleFields({ label, body, change }: FieldsProps) {
  const { inputs } = body;
  return (
    <Group title="Where and how it is sold">
      <Choice
        label="By the rules of"
        name="place"
        value={inputs.place}
        choices={(Object.keys(PLACE_WORDS) as LabelPlace[]).map((one) => [one, PLACE_WORDS[one]])}
        onValue={(place) =>
          change((before) => ({
            ...setInput("place", place)(before),
            // The name it is listed under follows as long as it is ours.
            ...(before.name === PLACE_WORDS[before.inputs.place] ? { name: PLACE_WORDS[place] } : {}),
          }))
        }
      />
      <Choice
        label="Sold"
        help={label.modeWords}
        name="mode"
        value={inputs.mode}
        choices={SALE_MODES.map((one) => [one, MODE_WORDS[one]])}
        onValue={(mode) => change(setInput("mode", mode))}
      />
      <Choice
        label="Language of the fixed words"
        name="language"
        value={inputs.language ?? "en"}
        choices={LABEL_LANGUAGES.map((one) => [one, LANGUAGE_WORDS[one]])}
        onValue={(language) => change(setInput("language", language))}
      />
      <TextField
        label="Name of the food"
        help="The formula's when left empty. Not a brand: what it is."
        name="name"
        most={200}
        value={inputs.name}
        placeholder={label.name}
        onValue={(name) => change(setInput("name", name))}
      />
      <TextField
        label="A sentence under the name"
        name="description"
        most={400}
        value={inputs.description}
        onValue={(description) => change(setInput("description", description))}
      />
      <TextField
        label="Storage"
        help={`Without words of your own: ${label.storage}`}
        name="storage"
        most={400}
        value={inputs.storage}
        onValue={(storage) => change(setInput("storage", storage))}
      />
      <TextField
        label="Instructions for use"
        help="Such as: Take out of the refrigerator half an hour before serving."
        name="instructions"
        most={400}
        value={inputs.instructions}
        onValue={(instructions) => change(setInput("instructions", instructions))}
      />
    </Group>
  );
}

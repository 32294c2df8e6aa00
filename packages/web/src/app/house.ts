import type { Formula } from "@evencrumb/core/formula";
import {
  type Allergen,
  createIngredientBook,
  type Ingredient,
  type IngredientBook,
  type NameStyle,
} from "@evencrumb/core/ingredients";
import type { Seller } from "@evencrumb/core/label";
import { addPrices, type PriceDefaults, type PriceEntry, withPrices } from "@evencrumb/core/price";
import { DEFAULT_WEIGHING, type EggGrade, type EggScheme, type WeighingSettings } from "@evencrumb/core/quantities";
import { type Client, createClient, OfflineError, RefusedError } from "../api/client.js";
import { listenToServer } from "../api/events.js";
import type { DocumentDetail, DocumentKind, DocumentSummary, Revision, RevisionSummary, ServerEvent } from "../api/types.js";
import { recallAnswer, rememberAnswer } from "../keep/cache.js";
import { type Alongside, type Change, Outbox } from "../keep/outbox.js";
import { readSmall, writeSmall } from "../keep/storage.js";

/** The baker's choices that hold on every device. */
export interface Settings {
  readonly names: NameStyle;
  readonly units: "metric" | "imperial" | "us";
  readonly temperature: "celsius" | "fahrenheit" | "gas-mark";
  readonly rounding: WeighingSettings;
  readonly eggScheme: EggScheme;
  readonly eggGrade: EggGrade["grade"];
  readonly currency: string;
  /** Who sells, as it stands on labels. */
  readonly business?: { readonly name: string; readonly address: string };
  /** What decides whether a small producer has to declare nutrition. */
  readonly seller?: Seller;
  /** What everything made here may contain, as the baker assessed it. */
  readonly mayContain?: readonly Allergen[];
  /** What the bakery takes for granted in every price: wage, tariff, fee, tax. */
  readonly rates?: Omit<PriceDefaults, "date">;
}

export const FIRST_SETTINGS: Settings = {
  names: "british",
  units: "metric",
  temperature: "celsius",
  rounding: DEFAULT_WEIGHING,
  eggScheme: "uk",
  eggGrade: "L",
  currency: "GBP",
};

/** The choices of this device alone. */
export interface DeviceChoices {
  readonly name: string;
  readonly theme: "auto" | "light" | "dark";
}

/** A tin the baker owns, as it is kept. */
export interface OwnTin {
  readonly name: string;
  /** What `parseTin` reads: "round 20x5 cm", "round 20x5 cm holds 1.5 l". */
  readonly tin: string;
  readonly count: number;
}

/** Prices as they were seen; none is ever replaced, a later one counts from its day. Each device adds to a list of its own. */
export interface PriceList {
  readonly name: string;
  readonly entries: readonly PriceEntry[];
}

export interface Kept<Body> {
  readonly id: string;
  readonly revisionId: string;
  readonly body: Body;
}

export interface HouseState {
  readonly ready: boolean;
  readonly formulas: readonly DocumentSummary[];
  readonly book: IngredientBook;
  readonly ownIngredients: readonly Kept<Ingredient>[];
  readonly tins: readonly Kept<OwnTin>[];
  readonly priceLists: readonly Kept<PriceList>[];
  readonly settings: Settings;
  readonly device: DeviceChoices;
  readonly alongside: readonly Alongside[];
}

/**
 * What the whole app shares: the server, what waits to be sent to it, the list of formulas, the ingredients and tins,
 * the choices. A page subscribes; nothing in here knows about React.
 */
export class House {
  readonly client: Client;
  readonly outbox: Outbox;
  readonly #listeners = new Set<() => void>();
  readonly #eventListeners = new Set<(event: ServerEvent) => void>();
  readonly #sentListeners = new Set<(change: Change) => void>();
  #state: HouseState;

  constructor(client: Client = createClient()) {
    this.client = client;
    const device = readSmall<DeviceChoices>("device") ?? firstDevice();
    writeSmall("device", device);
    this.outbox = new Outbox(client, () => this.#state.device.name);
    this.#state = {
      ready: false,
      formulas: [],
      book: createIngredientBook(),
      ownIngredients: [],
      tins: [],
      priceLists: [],
      settings: { ...FIRST_SETTINGS, ...readSmall<Partial<Settings>>("settings") },
      device,
      alongside: readSmall<Alongside[]>("alongside") ?? [],
    };
    this.outbox.onAlongside = (alongside) => this.#set({ alongside: [...this.#state.alongside, alongside] });
    this.outbox.onSent = (change) => {
      for (const listener of this.#sentListeners) listener(change);
      if (change.does !== "draft" && change.does !== "drop-draft") void this.refresh();
    };
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = (): HouseState => this.#state;

  /** Tells of every event of the server, also of those of this device. */
  onEvent(listener: (event: ServerEvent) => void): () => void {
    this.#eventListeners.add(listener);
    return () => this.#eventListeners.delete(listener);
  }

  /** Tells of every change that the server has taken. */
  onSentChange(listener: (change: Change) => void): () => void {
    this.#sentListeners.add(listener);
    return () => this.#sentListeners.delete(listener);
  }

  async open(): Promise<void> {
    await this.refresh();
    void import("../price/moveOldPrices.js").then(({ moveOldPrices }) => moveOldPrices(this));
    void this.outbox.send();
    listenToServer(
      (event) => {
        for (const listener of this.#eventListeners) listener(event);
        if (event.device !== this.#state.device.name || event.type.includes("restore")) this.#refreshSoon();
      },
      (open) => {
        this.outbox.heardFromServer(open);
        // What happened while the line was down was heard by nobody here.
        if (open && this.#lineBroke) {
          for (const listener of this.#eventListeners) listener({ type: "line-restored" });
          this.#refreshSoon();
        }
        this.#lineBroke = !open;
      },
    );
    window.addEventListener("online", () => void this.outbox.send());
  }

  /** Asks the server for everything that is shared between pages; shows the last copies where it does not answer. */
  refresh(): Promise<void> {
    this.#stale = true;
    this.#refreshing ??= this.#askForAll().finally(() => {
      this.#refreshing = undefined;
    });
    return this.#refreshing;
  }

  /** Again, when something was made or sent while the answer was on the way: an older answer would hide it for a moment. */
  async #askForAll(): Promise<void> {
    while (this.#stale) {
      this.#stale = false;
      const show = await this.#fetchAll();
      if (!this.#stale) show();
    }
  }

  async #fetchAll(): Promise<() => void> {
    const chosenBefore = this.#choices;
    const wasUnsent = this.outbox.waitingFor("settings").length > 0;
    const [formulas, ingredients, tins, priceLists, settings] = await Promise.all([
      this.ask<readonly DocumentSummary[]>("formulas", () => this.client.listDocuments("formula"), []),
      this.ask<readonly Kept<Ingredient>[]>("ingredients", () => this.#bodies<Ingredient>("ingredient"), []),
      this.ask<readonly Kept<OwnTin>[]>("tins", () => this.#bodies<OwnTin>("tin"), []),
      this.ask<readonly Kept<PriceList>[]>("priceLists", () => this.#bodies<PriceList>("priceList"), []),
      this.ask<Partial<Settings>>("settings", () => this.client.getSettings() as Promise<Partial<Settings>>, {}),
    ]);
    return () => {
      // An answer that was on its way while a choice was made or sent may be older than it.
      const unsent = wasUnsent || chosenBefore !== this.#choices || this.outbox.waitingFor("settings").length > 0;
      this.#set({
        ready: true,
        formulas: withUnsent(formulas, this.outbox),
        tins: unsentBodies("tin", tins, this.outbox),
        ...bookWith(unsentBodies("ingredient", ingredients, this.outbox), unsentBodies("priceList", priceLists, this.outbox)),
        settings: unsent ? this.#state.settings : { ...this.#state.settings, ...settings },
      });
      writeSmall("settings", this.#state.settings);
    };
  }

  /** The server's answer, remembered; or the remembered one; or, at the very first start without a network, `otherwise`. */
  async ask<T>(key: string, fetch: () => Promise<T>, otherwise: T): Promise<T> {
    try {
      const answer = await fetch();
      void rememberAnswer(key, answer);
      this.outbox.heardFromServer(true);
      return answer;
    } catch (error) {
      if (!(error instanceof OfflineError)) throw error;
      this.outbox.heardFromServer(false);
      return (await recallAnswer<T>(key)) ?? otherwise;
    }
  }

  /** undefined where there is none, here or on the server. */
  async document<Body>(id: string): Promise<DocumentDetail<Body> | undefined> {
    const key = `document ${id}`;
    try {
      return await this.ask<DocumentDetail<Body> | undefined>(
        key,
        () => this.client.getDocument<Body>(id, this.#state.device.name),
        undefined,
      );
    } catch (error) {
      if (!(error instanceof RefusedError)) throw error;
      // Made here a moment ago, and the server has not heard of it yet.
      return this.outbox.waitingFor(id).some(({ does }) => does === "create")
        ? recallAnswer<DocumentDetail<Body>>(key)
        : undefined;
    }
  }

  /** A revision never changes, so a copy is as good as the server's. */
  async revision<Body>(id: string, revisionId: string): Promise<Revision<Body> | undefined> {
    const key = `revision ${revisionId}`;
    const copy = await recallAnswer<Revision<Body>>(key);
    if (copy !== undefined) return copy;
    const waiting = this.outbox.waitingFor(id).find((change) => change.does === "keep" && change.revisionId === revisionId);
    if (waiting?.does === "keep") {
      const { parentId, note, body, madeAt } = waiting;
      const device = this.#state.device.name;
      return {
        id: revisionId,
        documentId: id,
        number: 0,
        parentId,
        savedAt: new Date(madeAt).toISOString(),
        device,
        note,
        body: body as Body,
      };
    }
    try {
      return await this.ask<Revision<Body> | undefined>(key, () => this.client.getRevision<Body>(id, revisionId), undefined);
    } catch (error) {
      if (error instanceof RefusedError) return undefined; // an address that names none
      throw error;
    }
  }

  /** Makes a document on this device at once; the server hears of it when it can. */
  async create(kind: DocumentKind, body: { readonly name: string }, note = ""): Promise<string> {
    const documentId = crypto.randomUUID();
    const revisionId = crypto.randomUUID();
    const savedAt = new Date().toISOString();
    const device = this.#state.device.name;
    const latest: Revision<unknown> = { id: revisionId, documentId, number: 1, parentId: null, savedAt, device, note, body };
    const document: DocumentSummary = {
      id: documentId,
      kind,
      name: body.name,
      demo: false,
      archived: false,
      createdAt: savedAt,
      latest,
      standardRevisionId: null,
      drafts: [],
    };
    await rememberAnswer(`document ${documentId}`, { document, latest, revisions: [latest] });
    this.#stale = true;
    this.outbox.add({ does: "create", documentId, revisionId, kind, body, note, madeAt: Date.now() });
    if (kind === "formula") this.#set({ formulas: [document, ...this.#state.formulas] });
    if (kind === "tin") this.#set({ tins: [...this.#state.tins, { id: documentId, revisionId, body: body as OwnTin }] });
    if (kind === "ingredient")
      this.#setIngredients([...this.#state.ownIngredients, { id: documentId, revisionId, body: body as Ingredient }]);
    if (kind === "priceList")
      this.#setPrices([...this.#state.priceLists, { id: documentId, revisionId, body: body as unknown as PriceList }]);
    return documentId;
  }

  /** Changes a tin, an ingredient or a price list: documents that have no draft of their own. */
  replace<Body>(kind: "tin" | "ingredient" | "priceList", kept: Kept<Body>, body: Body, note = ""): void {
    const revisionId = crypto.randomUUID();
    this.#stale = true;
    this.outbox.add({ does: "keep", documentId: kept.id, revisionId, parentId: kept.revisionId, body, note, madeAt: Date.now() });
    const swap = <T>(all: readonly Kept<T>[]) =>
      all.map((other) => (other.id === kept.id ? { id: kept.id, revisionId, body: body as unknown as T } : other));
    if (kind === "tin") this.#set({ tins: swap(this.#state.tins) });
    else if (kind === "priceList") this.#setPrices(swap(this.#state.priceLists));
    else this.#setIngredients(swap(this.#state.ownIngredients));
  }

  /** Writes prices behind those that are there, in this device's own list: so two devices never write the same one. */
  addPrices(entries: readonly PriceEntry[]): { readonly added: number; readonly known: number } {
    const lists = this.#state.priceLists;
    const everywhere = addPrices(
      lists.flatMap(({ body }) => body.entries),
      entries,
    );
    const fresh = everywhere.entries.slice(everywhere.entries.length - everywhere.added);
    const own = lists.find(({ id }) => id === readSmall<string>("price-list"));
    if (fresh.length > 0) {
      if (own !== undefined) this.replace<PriceList>("priceList", own, { ...own.body, entries: [...own.body.entries, ...fresh] });
      else
        void this.create("priceList", { name: `Prices from ${this.#state.device.name}`, entries: fresh } as PriceList).then(
          (id) => writeSmall("price-list", id),
        );
    }
    return { added: everywhere.added, known: everywhere.known };
  }

  /** Takes out a price that was written down by mistake; the list's earlier revisions still hold it. */
  removePrice(entry: PriceEntry): void {
    const same = (other: PriceEntry) => JSON.stringify(other) === JSON.stringify(entry);
    for (const list of this.#state.priceLists)
      if (list.body.entries.some(same))
        this.replace<PriceList>("priceList", list, { ...list.body, entries: list.body.entries.filter((one) => !same(one)) });
  }

  archive(kind: DocumentKind, documentId: string): void {
    this.#stale = true;
    this.outbox.add({ does: "archive", documentId });
    const others = <T extends { readonly id: string }>(all: readonly T[]) => all.filter((one) => one.id !== documentId);
    if (kind === "formula") this.#set({ formulas: others(this.#state.formulas) });
    if (kind === "tin") this.#set({ tins: others(this.#state.tins) });
    if (kind === "ingredient") this.#setIngredients(others(this.#state.ownIngredients));
    if (kind === "priceList") this.#setPrices(others(this.#state.priceLists));
  }

  /** @param delayMs  for what is typed: it is here at once and sent when the typing pauses */
  choose(settings: Partial<Settings>, delayMs = 0): void {
    this.#choices++;
    const all = { ...this.#state.settings, ...settings };
    writeSmall("settings", all);
    this.#set({ settings: all });
    this.outbox.add({ does: "settings", documentId: "settings", body: { ...all } }, delayMs);
  }

  chooseForDevice(choices: Partial<DeviceChoices>): void {
    const device = { ...this.#state.device, ...choices };
    writeSmall("device", device);
    this.#set({ device });
  }

  settle(documentId: string): void {
    this.#set({ alongside: this.#state.alongside.filter((one) => one.documentId !== documentId) });
  }

  /** How often something was chosen here. */
  #choices = 0;
  #stale = false;
  #refreshing: Promise<void> | undefined;
  #lineBroke = false;
  #refreshTimer: ReturnType<typeof setTimeout> | undefined;
  #refreshSoon(): void {
    clearTimeout(this.#refreshTimer);
    this.#refreshTimer = setTimeout(() => void this.refresh(), 250);
  }

  async #bodies<Body>(kind: DocumentKind): Promise<readonly Kept<Body>[]> {
    const documents = await this.client.listDocuments(kind);
    return Promise.all(
      documents.map(async (document): Promise<Kept<Body>> => {
        const known = await recallAnswer<Revision<Body>>(`revision ${document.latest.id}`);
        const revision = known ?? (await this.client.getRevision<Body>(document.id, document.latest.id));
        if (known === undefined) void rememberAnswer(`revision ${revision.id}`, revision);
        return { id: document.id, revisionId: revision.id, body: revision.body };
      }),
    );
  }

  #setIngredients(ownIngredients: readonly Kept<Ingredient>[]): void {
    this.#set(bookWith(ownIngredients, this.#state.priceLists));
  }

  #setPrices(priceLists: readonly Kept<PriceList>[]): void {
    this.#set(bookWith(this.#state.ownIngredients, priceLists));
  }

  #set(change: Partial<HouseState>): void {
    this.#state = { ...this.#state, ...change };
    if (change.alongside !== undefined) writeSmall("alongside", change.alongside);
    for (const listener of this.#listeners) listener();
  }
}

/** The ingredients as every page sees them: the baker's own among them, and each with all its prices. */
const bookWith = (ownIngredients: readonly Kept<Ingredient>[], priceLists: readonly Kept<PriceList>[]) => ({
  ownIngredients,
  priceLists,
  book: withPrices(
    createIngredientBook(ownIngredients.map((kept) => kept.body)),
    priceLists.flatMap(({ body }) => body.entries),
  ),
});

/** Documents of a kind as the server last said, with what was made and changed here since. */
function unsentBodies<Body>(kind: DocumentKind, kept: readonly Kept<Body>[], outbox: Outbox): readonly Kept<Body>[] {
  const all = new Map(kept.map((one) => [one.id, one]));
  for (const change of outbox.waiting()) {
    if (change.does === "create" ? change.kind === kind : change.does === "keep" && all.has(change.documentId))
      all.set(change.documentId, {
        id: change.documentId,
        revisionId: (change as { readonly revisionId: string }).revisionId,
        body: (change as { readonly body: unknown }).body as Body,
      });
    if (change.does === "archive") all.delete(change.documentId);
  }
  return [...all.values()];
}

/** What was made here and the server has not heard of yet is listed all the same. */
function withUnsent(formulas: readonly DocumentSummary[], outbox: Outbox): readonly DocumentSummary[] {
  const known = new Set(formulas.map((document) => document.id));
  const made = outbox.waiting().flatMap((change): DocumentSummary[] => {
    if (change.does !== "create" || change.kind !== "formula" || known.has(change.documentId)) return [];
    const latest: RevisionSummary = {
      id: change.revisionId,
      documentId: change.documentId,
      number: 1,
      parentId: null,
      savedAt: new Date(change.madeAt).toISOString(),
      device: "",
      note: change.note,
    };
    return [
      {
        id: change.documentId,
        kind: "formula",
        name: (change.body as Formula).name,
        demo: false,
        archived: false,
        createdAt: latest.savedAt,
        latest,
        standardRevisionId: null,
        drafts: [],
      },
    ];
  });
  const gone = new Set(outbox.waiting().flatMap((change) => (change.does === "archive" ? [change.documentId] : [])));
  return [...made, ...formulas].filter((document) => !gone.has(document.id));
}

function firstDevice(): DeviceChoices {
  const kind = matchMedia("(pointer: coarse)").matches ? "Tablet" : "Laptop";
  return { name: `${kind} ${crypto.randomUUID().slice(0, 4)}`, theme: "auto" };
}

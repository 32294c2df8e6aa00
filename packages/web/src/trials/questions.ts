import type { Question } from "@evencrumb/core/trials";

/** The questions a trial can answer, in the order in which bakers ask them. */
export const QUESTIONS: readonly {
  readonly kind: Question["kind"];
  readonly title: string;
  readonly about: string;
  readonly tasted: boolean;
}[] = [
  { kind: "better", title: "Is the new one better?", about: "Two cakes, baked side by side and measured.", tasted: false },
  {
    kind: "how much",
    title: "How much of it?",
    about: "One or a few amounts, times or temperatures, from low to high.",
    tasted: false,
  },
  {
    kind: "which blend",
    title: "Which blend?",
    about: "Shares of fats, sugars or flours that make up one whole.",
    tasted: false,
  },
  { kind: "which of several", title: "Which of several?", about: "Three cakes or more, measured.", tasted: false },
  {
    kind: "can people tell",
    title: "Can people tell?",
    about: "Two cakes, tasted without knowing which is which.",
    tasted: true,
  },
  {
    kind: "which has more",
    title: "Which has more of it?",
    about: "Two cakes and one property: which is sweeter, moister, more of lemon?",
    tasted: true,
  },
  {
    kind: "which do they prefer",
    title: "Which do they prefer?",
    about: "Two cakes, tasted; each taster names one.",
    tasted: true,
  },
  {
    kind: "which is liked best",
    title: "Which is liked best?",
    about: "Several cakes, put in order by each taster.",
    tasted: true,
  },
  {
    kind: "how well is it liked",
    title: "How well is it liked?",
    about: "Two cakes or more, each given a mark from 1 to 9 by each taster.",
    tasted: true,
  },
];

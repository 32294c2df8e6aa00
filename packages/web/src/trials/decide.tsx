import type { Formula } from "@evencrumb/core/formula";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses } from "../app/route.js";
import { useHouse } from "../app/useHouse.js";
import { shortDate } from "../parts/dates.js";
import type { Cake, Decision, Trial } from "./documents.js";
import type { TrialSession } from "./session.js";

interface DecideContext {
  readonly house: House;
  readonly session: TrialSession;
  readonly cake: Cake;
  readonly evidence: string;
  readonly confirmation?: Decision["confirmation"];
  /** A formula that no revision holds yet: the best setting of a trial. */
  readonly made?: Formula;
}

export const decideActions = defineActions<DecideContext>()({
  makeStandard: {
    label: "Make it the standard",
    applies: () => true,
    does: ({ house, session, cake, evidence, confirmation, made }) => {
      const { formulaId } = cake;
      let { revisionId } = cake;
      const whole = confirmation === undefined ? evidence : `${evidence} Confirmed: ${confirmation.sentence}`;
      if (made !== undefined) {
        revisionId = crypto.randomUUID();
        house.outbox.add({
          does: "keep",
          documentId: formulaId,
          revisionId,
          parentId: cake.revisionId,
          body: made,
          note: `From the trial “${session.body().name}”: ${whole}`.slice(0, 2000),
          madeAt: Date.now(),
        });
      }
      house.outbox.add({ does: "standard", documentId: formulaId, revisionId });
      const decision: Decision = {
        cake: cake.name,
        formulaId,
        revisionId,
        evidence,
        ...(confirmation === undefined ? {} : { confirmation }),
        decidedAt: new Date().toISOString(),
      };
      session.edit((body): Trial => ({ ...body, decision }));
      session.keep(`${cake.name} was made the standard: ${whole}`.slice(0, 2000));
    },
  },
});

/** Which cake is made from now on; the answer, and what confirmed it, go with it as its evidence. */
export function Decide({
  session,
  trial,
  evidence,
  winner,
  made,
  needsConfirmation = false,
  confirmation,
}: {
  session: TrialSession;
  trial: Trial;
  evidence: string;
  /** Name of the cake that the answer speaks for, where it speaks for one. */
  winner?: string | undefined;
  made?: { readonly words: string; readonly formula: Formula } | undefined;
  /** The best setting is predicted: it is recommended only when bakes bore it out. */
  needsConfirmation?: boolean;
  confirmation?: Decision["confirmation"];
}) {
  const house = useHouse();
  const { decision } = trial;
  const base = trial.cakes[0];
  const cakes = made === undefined && !needsConfirmation ? trial.cakes : [];
  const proven = confirmation === undefined ? {} : { confirmation };
  if (cakes.length === 0 && made === undefined && decision === undefined) return null;
  return (
    <section className="stack decide" aria-labelledby="decide">
      <h2 id="decide">What you make of it</h2>
      {decision === undefined ? null : (
        <p role="status">
          {capital(decision.cake)} was made the standard on {shortDate(decision.decidedAt)}, on this answer: {decision.evidence}{" "}
          {decision.confirmation === undefined ? null : (
            <>
              <a href={addresses.trial(decision.confirmation.documentId, "answer")}>Confirmed</a>:{" "}
              {decision.confirmation.sentence}{" "}
            </>
          )}
          <a href={addresses.formula(decision.formulaId, "revision", { id: decision.revisionId })}>See it in its formula.</a>
        </p>
      )}
      {made !== undefined && confirmation === undefined && needsConfirmation ? (
        <p>No bake has confirmed the best setting yet. Keep it as the standard only when one has.</p>
      ) : null}
      <div className="buttons">
        {cakes.map((cake) => (
          <ActionButton
            key={cake.name}
            action={decideActions.makeStandard}
            context={{ house, session, cake, evidence, ...proven }}
            kind={cake.name === winner && decision?.revisionId !== cake.revisionId ? "main" : "plain"}
          >
            Make {cake.name} the standard
          </ActionButton>
        ))}
        {made === undefined || base === undefined ? null : (
          <ActionButton
            action={decideActions.makeStandard}
            context={{ house, session, cake: { ...base, name: made.words }, evidence, made: made.formula, ...proven }}
            kind={decision?.cake === made.words || (needsConfirmation && confirmation === undefined) ? "plain" : "main"}
          >
            Keep the best setting and make it the standard
          </ActionButton>
        )}
      </div>
      <p className="muted small">A standard can be changed back on the thread of its formula; nothing is lost.</p>
    </section>
  );
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

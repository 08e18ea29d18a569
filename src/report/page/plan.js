// What widening would do with the choices that were made for spots, drawn over the art as it is: old against new.

// Nothing is planned where nothing is to be changed.
function planAsk(question) {
    const changes = state.answer.result.spots.some(({ chosen }) => chosen > 1);
    if (changes) later.ask({ ...question, what: "plan", widened: widenedAs(question.options), widenOptions: question.options });
}

function planShow(plan) {
    state.plan = plan;
    if (plan) {
        const { place: [, , , , e, f], change: { added, removed } } = plan;
        view.showPlan({ added, removed }, [-e, -f]);
    } else {
        view.showPlan(null);
    }
    sayIn("plan-said", plan ? plan.change.words : "");
    by("plan").hidden = !plan;
    if (state.answer) showLegend(state.answer.result);
}

function listenPlan() {
    by("plan-take").addEventListener("click", () => jobWidened(state.plan));
    by("plan-drop").addEventListener("click", () => {
        state.choices = [];
        ask();
    });
}

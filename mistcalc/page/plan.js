// The plan alone, without a strip to edit it: overview.js, put before this file, draws it.

const plans = new WeakMap();

function show({ data, parentElement }) {
  let plan = plans.get(parentElement);
  if (!plan) {
    const root = element(parentElement, "div", { className: "lid" });
    plan = { overview: new Overview(root), data };
    new ResizeObserver(() => plan.overview.draw(plan.data, null)).observe(root);
    plans.set(parentElement, plan);
  }
  plan.data = data;
  plan.overview.draw(data, null);
}

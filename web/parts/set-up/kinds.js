// The kinds of things a lead sets up: their orders, forms and defaults.

import { t } from '../../words/words.js';
import { decimal, measured } from '../../core/format.js';
import {
  helperPlan,
  lotPlan,
  newStation,
  productPlan,
  resourcePlan,
  stationPlan,
  supplyPlan,
} from '../../core/plan.js';
import { SIGNS } from '../signs.js';
import { StationForm } from './station-form.js';
import { ProductForm } from './product-form.js';
import { HelperForm, LotForm, ResourceForm, SupplyForm } from './small-forms.js';

const named = (plan) => (plan.name?.trim() ? null : t('field.name-missing'));
const orders = (id) => ({ id, add: `add-${id}`, change: `change-${id}`, retire: `retire-${id}` });

export const STATIONS = {
  ...orders('station'),
  map: 'stations',
  Form: StationForm,
  planOf: stationPlan,
  fresh: () => ({ ...newStation('wash'), name: t('work.wash') }),
  missing: named,
  sum: (view, one) =>
    [
      t(`work.${one.work}`),
      t('station.sum-seats', { n: one.seats }),
      ...(one.set_up ? [] : [t('station.is-away')]),
    ].join(' · '),
};

export const RESOURCES = {
  id: 'resource',
  add: 'put-resource',
  change: 'put-resource',
  retire: 'retire-resource',
  map: 'resources',
  Form: ResourceForm,
  planOf: resourcePlan,
  fresh: () => ({ name: '', count: 1 }),
  missing: named,
  sum: (view, one) => t('resource.sum', { n: one.count, used: one.used ?? 0 }),
};

export const PRODUCTS = {
  ...orders('product'),
  map: 'products',
  Form: ProductForm,
  planOf: productPlan,
  fresh: () => ({
    name: '',
    produce: '',
    ends_in: { as: 'canned', food: '', pack: 'hot', jar: 'quart' },
    route: [],
  }),
  missing: (plan) =>
    named(plan) ??
    (plan.produce?.trim() ? null : t('field.produce-missing')) ??
    (plan.ends_in.as === 'canned' && !plan.ends_in.food ? t('product.food-none') : null) ??
    (plan.route.length ? null : t('product.no-route')),
  sum: (view, one) =>
    (one.route ?? [])
      .map((step) => view.stations?.[step.station]?.name ?? step.station)
      .join(' → '),
};

export const LOTS = {
  ...orders('lot'),
  map: 'lots',
  Form: LotForm,
  planOf: lotPlan,
  fresh: () => ({ name: '', produce: '', measure: 'lb', amount: 20000, box_holds: 20000 }),
  missing: (plan) =>
    named(plan) ??
    (plan.produce?.trim() ? null : t('field.produce-missing')) ??
    (plan.amount && plan.box_holds ? null : t('field.amount-missing')),
  sum: (view, one) =>
    [
      measured(one.amount, one.measure),
      t('lot.unopened', { amount: measured(one.unopened ?? 0, one.measure) }),
    ].join(' · '),
};

export const SUPPLIES = {
  ...orders('supply'),
  map: 'supplies',
  Form: SupplyForm,
  planOf: supplyPlan,
  fresh: () => ({ name: '', unit: '', stock: 0, low_at: 0 }),
  missing: (plan) =>
    named(plan) ??
    (plan.unit?.trim() ? null : t('supply.unit-missing')) ??
    (plan.stock == null ? t('field.amount-missing') : null),
  sum: (view, one) => `${decimal(one.stock)} ${one.unit}`,
};

export const HELPERS = {
  ...orders('helper'),
  map: 'helpers',
  Form: HelperForm,
  planOf: helperPlan,
  fresh: (view) => {
    const used = Object.values(view.helpers ?? {}).map((one) => one.sign);
    return {
      name: '',
      sign: SIGNS.find((one) => !used.includes(one)) ?? SIGNS[0],
      limits: [],
      likes: [],
      here: true,
    };
  },
  missing: (plan) => named(plan) ?? (plan.age === undefined ? t('join.age-missing') : null),
  sum: (view, one) => `${t('person.age', { age: one.age })} · ${t(`presence.${one.presence}`)}`,
};

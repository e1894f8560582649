/* Numbers as pictures: how far the price may go, when the work is done, where pump and pipe meet. */
import { h, s } from './dom.js';
import { day, figure, number, roundAmount, say, theirs } from './words.js';

/* ---- the range ---- */

export function rangeBar(low, likely, high, reach, width) {
	const x = (minor) => 10 + ((minor - reach[0]) / (reach[1] - reach[0] || 1)) * (width - 20);
	const label = say('range-said', { low: roundAmount(low), likely: roundAmount(likely), high: roundAmount(high) });
	return s('svg', { class: 'drawing range', viewBox: `0 0 ${width} 58`, width, height: 58, role: 'img', 'aria-label': label },
		s('rect', { class: 'reach', x: 10, y: 14, width: width - 20, height: 16, rx: 8 }),
		s('rect', { class: 'spread', x: x(low), y: 14, width: Math.max(4, x(high) - x(low)), height: 16, rx: 8 }),
		s('path', { class: 'likely', d: `M${x(likely)} 8v28` }),
		s('text', { x: Math.max(10, x(low)), y: 52, 'text-anchor': 'start' }, roundAmount(low)),
		s('text', { x: Math.min(width - 10, x(high)), y: 52, 'text-anchor': 'end' }, roundAmount(high)));
}

/* ---- the programme ---- */

const dayNumber = (iso) => Date.parse(`${iso}T00:00:00Z`) / 86400000;

function bar(from, days, kind) {
	const node = h('span', { class: `bar ${kind}` });
	node.style.left = `${from}%`;
	node.style.width = `${Math.max(days, 0.6)}%`;
	return node;
}

/* Tasks as bars with their waits; without dates, where something stops the job, their length alone. */
export function programme(list) {
	const dated = list.filter((task) => task.from && task.to);
	const first = Math.min(...dated.map((task) => dayNumber(task.from)));
	const last = Math.max(...dated.map((task) => dayNumber(task.to) + (task.wait_days || 0))) + 1;
	const share = (days) => (days / (last - first)) * 100;
	const waitText = (task) => (task.wait_days > 0 ? say('then-wait', { days: number(task.wait_days, 0) }) : '');

	return h('ol', { class: 'programme' }, list.map((task) => {
		const has = task.from && task.to;
		const from = has ? dayNumber(task.from) - first : 0;
		const worked = has ? dayNumber(task.to) - dayNumber(task.from) + 1 : 0;
		const when = has ? (task.from === task.to ? day(task.from, true) : `${day(task.from, true)} – ${day(task.to, true)}`)
			: say('work-days', { days: number(task.work_days ?? 0, 1) });
		return h('li', {}, h('span', { class: 'task', lang: theirs() }, task.title ?? task.id.replaceAll('-', ' ')),
			h('span', { class: 'track', 'aria-hidden': 'true' }, has ? [bar(share(from), share(worked), 'work'),
				task.wait_days > 0 ? bar(share(from + worked), share(task.wait_days), 'wait') : null] : null),
			h('span', { class: 'when' }, `${when} ${waitText(task)}`));
	}));
}

/* ---- pump and pipe ---- */

function niceMost(value) {
	const power = 10 ** Math.floor(Math.log10(value));
	return [1, 2, 2.5, 5, 10].map((n) => n * power).find((most) => most >= value);
}

/* Head of a curve of points at a flow, by straight lines. */
function headAt(curve, flow) {
	const after = curve.findIndex(([at]) => at >= flow);
	if (after <= 0)
		return after === 0 ? curve[0][1] : null;
	const [a, b] = [curve[after - 1], curve[after]];
	return a[1] + ((flow - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
}

/* water: the answer's member, with `curve` and `system` where the service gives them. */
export function dutyChart(water, curve, width) {
	const others = (water.other_bores ?? []).filter((bore) => bore.flow_l_per_h > 0 && (!curve || headAt(curve, bore.flow_l_per_h) !== null));
	const flows = [water.duty.flow_l_per_h, water.demand_l_per_h, ...others.map((bore) => bore.flow_l_per_h), curve?.at(-1)[0] ?? 0];
	const most = { flow: niceMost(Math.max(...flows, 1) * 1.02), head: niceMost(Math.max(curve?.[0][1] ?? 0, water.duty.head_m, water.static_m, 0.1) * 1.05) };
	const height = 260;
	const area = { left: 44, right: width - 14, top: 14, bottom: height - 44 };
	const x = (flow) => area.left + (flow / most.flow) * (area.right - area.left);
	const y = (head) => area.bottom - (head / most.head) * (area.bottom - area.top);
	const curveLine = (points) => `M${points.filter(([flow, head]) => flow <= most.flow && head <= most.head).map(([flow, head]) => `${x(flow).toFixed(1)} ${y(head).toFixed(1)}`).join('L')}`;
	const parts = [0, 0.25, 0.5, 0.75, 1];
	const flow = figure(water.duty.flow_l_per_h);

	return s('svg', { class: 'drawing duty', viewBox: `0 0 ${width} ${height}`, width, height, role: 'img',
		'aria-label': say('duty-said', { flow, head: number(water.duty.head_m) }) },
		parts.map((part) => [s('path', { class: 'grid', d: `M${area.left} ${y(part * most.head)}H${area.right}M${x(part * most.flow)} ${area.top}V${area.bottom}` }),
			s('text', { x: area.left - 6, y: y(part * most.head) + 4, 'text-anchor': 'end' }, number(part * most.head, 1)),
			width > 360 || part !== 0.25 && part !== 0.75 ? s('text', { x: x(part * most.flow), y: area.bottom + 16, 'text-anchor': part === 1 ? 'end' : 'middle' }, number(part * most.flow, 0)) : null]),
		s('text', { x: area.right, y: height - 6, 'text-anchor': 'end' }, say('axis-flow')),
		s('text', { x: area.left + 4, y: area.top + 10 }, say('axis-head')),
		curve ? s('path', { class: 'curve-pump', d: curveLine(curve) }) : null,
		water.system ? s('path', { class: 'curve-system', d: curveLine(water.system) }) : null,
		(water.other_bores ?? []).map((bore) => (bore.system ? s('path', { class: 'curve-other', d: curveLine(bore.system) }) : null)),
		water.demand_l_per_h > 0 ? s('path', { class: 'demand', d: `M${x(water.demand_l_per_h)} ${area.top}V${area.bottom}` }) : null,
		curve ? others.map((bore) => s('circle', { class: 'duty-other', cx: x(bore.flow_l_per_h), cy: y(headAt(curve, bore.flow_l_per_h)), r: 4.5 })) : null,
		s('path', { class: 'duty-point', d: `M${x(water.duty.flow_l_per_h)} ${y(water.duty.head_m) - 8}l7 8l-7 8l-7 -8Z` }));
}

export function dutyKey(water, curve) {
	const row = (kind, words) => h('li', {}, s('svg', { viewBox: '0 0 28 14', width: 28, height: 14, 'aria-hidden': 'true' },
		kind === 'duty-point' ? s('path', { class: kind, d: 'M14 0l7 7l-7 7l-7 -7Z' })
			: kind === 'duty-other' ? s('circle', { class: kind, cx: 14, cy: 7, r: 4.5 }) : s('path', { class: kind, d: 'M1 7h26' })), words);
	return h('ul', { class: 'key' }, row('duty-point', say('key-duty')), curve ? row('curve-pump', say('key-pump')) : null,
		water.system ? row('curve-system', say('key-system', { bore: number(water.bore_mm, 1) })) : null,
		curve && water.other_bores?.length ? row('duty-other', say('key-others')) : null,
		water.demand_l_per_h > 0 ? row('demand', say('key-demand', { flow: figure(water.demand_l_per_h) })) : null);
}


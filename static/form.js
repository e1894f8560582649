/* The questions: the few that make a price, one at a time after that, and all there are. */
import { get } from './address.js';
import { answerButtons, control, shown } from './controls.js';
import { h, heading, s } from './dom.js';
import { outlineControl } from './outline.js';
import { fieldLabel, hasText, roundAmount, say, spoken, theirs } from './words.js';

/* Groups of the whole form, by the beginning of a pointer; the rest is with the first. */
const groups = [['job', '/'], ['pond', '/pond'], ['old', '/old_pond'], ['roots', '/roots'], ['stream', '/stream'], ['water', '/water'],
	['equipment', '/equipment'], ['edge', '/edge'], ['planting', '/planting'], ['site', '/site'], ['facts', '/facts']];
const optional = new Set(['/old_pond', '/stream', '/water/kept_pump', '/old_pond/outline', '/old_pond/profile']);
const first = new Set(['/region', '/pond/depth_m']);

function groupOf(pointer) {
	return groups.findLast(([, start]) => pointer === start || pointer.startsWith(start === '/' ? '/' : `${start}/`))[0];
}

/* ---- the first three ---- */

export function firstQuestions(store) {
	const regions = store.regions.map((region) => region.id);
	return [control(store, '/region', { label: say('where') }), outlineControl(store, '/pond/outline'),
		control(store, '/pond/depth_m', { label: say('how-deep') }), regions.length === 0 ? null : unitSwitch(store)];
}

function unitSwitch(store) {
	const choice = (unit) => h('label', {}, h('input', { type: 'radio', name: 'units', value: unit, change: () => store.changeUnits(unit) }), ` ${say(`unit-${unit}`)}`);
	const node = h('fieldset', { class: 'units' }, h('legend', {}, say('lengths')), choice('m'), choice('ft'), h('p', { class: 'hint' }, say('lengths-how')));
	return shown('units', node, () => {
		for (const input of node.querySelectorAll('input'))
			input.checked = input.value === store.units();
	});
}

/* ---- everything ---- */

/* A thing that is there or not, and if it is, what belongs to it. */
function thing(store, pointer, children) {
	const box = h('input', { type: 'checkbox', change: () => store.give(pointer, box.checked ? {} : undefined) });
	const inside = h('div', { class: 'fields' }, children);
	const node = h('div', { class: 'thing' }, h('label', { class: 'check' }, box, say(`has:${pointer}`)), inside);
	return shown(pointer, node, () => {
		box.checked = get(store.state.enquiry, pointer) !== undefined;
		inside.hidden = !box.checked;
	});
}

function below(store, start, pointers) {
	const deeper = [...optional].filter((pointer) => pointer !== start && pointer.startsWith(`${start}/`));
	const own = pointers.filter((pointer) => !deeper.some((deep) => pointer.startsWith(`${deep}/`)));
	return [...own.filter((pointer) => !/\/outline\//.test(pointer)).map((pointer) => control(store, pointer)),
		...deeper.map((pointer) => thing(store, pointer, pointer.endsWith('/outline') ? outlineControl(store, pointer)
			: below(store, pointer, pointers.filter((other) => other.startsWith(`${pointer}/`)))))];
}

/* All fields in their groups; `open` for the desk. */
export function allFields(store, open) {
	const pointers = [...store.fields.values()].filter((field) => field.kind !== 'object' && !first.has(field.pointer)).map((field) => field.pointer);
	return groups.map(([name, start]) => {
		const own = pointers.filter((pointer) => groupOf(pointer) === name && (!pointer.startsWith('/pond/outline')));
		const inside = h('div', { class: 'fields' });
		const node = h('details', { class: 'group', id: `group-${name}`, open: open && name !== 'facts', toggle: () => fill() }, h('summary', {}, say(`g:${name}`)), inside);
		const fill = () => {
			if (node.open && inside.childElementCount === 0)
				inside.append(...(optional.has(start) ? [thing(store, start, below(store, start, own))] : below(store, start === '/' ? '' : start, own)));
		};
		fill();
		return node;
	});
}

/* ---- the next question ---- */

const wishes = ['/planting/style', '/old_pond', '/stream'];
const edges = ['coping_m', 'beach_m', 'turf_m'];

const isOpen = (store, pointer) => get(store.state.enquiry, pointer) === undefined && !store.state.unsure.includes(pointer);

/* What to ask next: first what only the customer can wish, then what moves the price most or was
 * assumed, then what decides about permissions. */
export function nextQuestion(store) {
	const wish = wishes.find((pointer) => isOpen(store, pointer));
	const plain = (pointer) => (pointer === '/pond/profile' ? '/pond/profile/kind' : pointer);
	const can = (row) => (store.fields.has(plain(row.pointer)) || row.pointer === '/edge') && !store.state.unsure.includes(plain(row.pointer));

	if (wish && !(store.desk && store.range?.ask_next?.length > 0))
		return { pointer: wish };
	const row = store.range ? store.range.ask_next.find((one) => can(one) && isOpen(store, plain(one.pointer)))
		: store.quote?.assumed.toSorted((a, b) => (a.where === 'visit') - (b.where === 'visit')).find(can);
	const fact = () => store.screen?.still_to_ask?.find((one) => can(one) && isOpen(store, one.pointer));
	const found = row ?? fact();
	return found ? { ...found, pointer: plain(found.pointer) } : null;
}

/* Pictures of a bed in a cut. */
function picture(word) {
	const bed = { vertical: 'M3 6V22H37V6', battered: 'M3 6L10 14H14L18 22H28L37 6', dish: 'M3 6Q20 40 37 6', stepped: 'M3 6V12H11V17H17V22H37V6' }[word];
	return bed ? s('svg', { viewBox: '0 0 40 26', class: 'shape', 'aria-hidden': 'true' }, s('path', { d: bed })) : null;
}

function questionText(store, question) {
	const known = store.region?.questions?.find((row) => row.pointer === question.pointer);
	const label = spoken() === 'en' ? null : fieldLabel(store.fields.get(question.pointer), question.pointer);
	const own = (kind, theirsText) => (hasText(`${kind}:${question.pointer}`) ? say(`${kind}:${question.pointer}`) : h('span', { lang: theirs() }, theirsText ?? ''));
	return { ask: (!hasText(`q:${question.pointer}`) && label) || own('q', question.question ?? known?.question ?? store.fields.get(question.pointer)?.help), why: own('y', known?.why ?? question.because) };
}

/* Yes or no for a thing; yes opens what belongs to it. */
function thingAnswers(store, pointer, done) {
	const more = h('div', { class: 'fields', hidden: true });
	const yes = () => {
		store.give(pointer, {});
		const must = [...store.fields.values()].filter((field) => field.pointer.startsWith(`${pointer}/`) && !field.pointer.slice(pointer.length + 1).includes('/') &&
			(field.leftOut === 'must' || field.pointer === '/old_pond/shell'));
		more.replaceChildren(...must.map((field) => control(store, field.pointer)), h('button', { type: 'button', class: 'main', click: () => done() }, say('go-on')));
		more.hidden = false;
		more.querySelector('input, select').focus();
	};
	return [h('div', { class: 'answers', role: 'group' }, h('button', { type: 'button', class: 'answer', click: yes }, say('yes')),
		h('button', { type: 'button', class: 'answer', click: () => done('no') }, say('no'))), more];
}

function edgeAnswers(store, value, done) {
	return h('div', { class: 'answers', role: 'group' }, edges.map((name) => h('button', { type: 'button', class: 'answer', click: () => {
		store.give(`/edge/${name}`, Math.round(((get(store.state.enquiry, `/edge/${name}`) ?? 0) + value) * 100) / 100);
		done();
	} }, say(`e:${name}`))));
}

/* done(answered) is called when the question is over; 'no' and 'unsure' set it aside. */
export function questionCard(store, question, done, back) {
	const { pointer } = question;
	const { ask, why } = questionText(store, question);
	const moved = question.high_minor > question.low_minor ? say('moves', { low: roundAmount(question.low_minor), high: roundAmount(question.high_minor) }) : '';
	const buttons = pointer === '/edge' ? edgeAnswers(store, question.value, done)
		: store.fields.get(pointer).kind === 'object' ? thingAnswers(store, pointer, done)
			: answerButtons(store, pointer, picture, (value) => {
				store.give(pointer, value);
				done();
			});
	return [heading(2, ask), h('p', { class: 'why' }, why, ' ', moved, ' ', question.where === 'visit' ? say('on-visit') : ''),
		buttons ?? h('div', { class: 'typed-answer' }, control(store, pointer), h('button', { type: 'button', class: 'main', click: () => done() }, say('go-on'))),
		h('div', { class: 'asides' }, h('button', { type: 'button', id: 'unsure', click: () => done('unsure') }, say('not-sure')),
			back ? h('button', { type: 'button', click: back }, say('back')) : null)];
}


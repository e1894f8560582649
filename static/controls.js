/* One control for one field of the enquiry, beside it what the service says is wrong with it. All controls of a field
 * show the same value, wherever they stand on the page. */
import { get, set } from './address.js';
import { h } from './dom.js';
import { isLength } from './fields.js';
import { feetAndInches, readLength, readNumber } from './lengths.js';
import { fieldLabel, hasText, length, lengthUnit, monthName, say, typedNumber, unitName, wordTitle } from './words.js';

const alive = new Set();
let count = 0;

/* ---- text of a value and value of a text ---- */

function textOf(field, value) {
	if (value === undefined || value === null)
		return '';
	if (value === 'unknown' || typeof value === 'boolean')
		return value === true ? '1' : value === false ? '0' : say('unsure');
	if (field.kind === 'list')
		return value.map((row) => (Array.isArray(row) ? row : field.columns.map((column) => row[column.name]))
			.map((cell) => (typeof cell === 'number' ? typedNumber(cell) : cell ?? '?')).join(' ')).join('\n');
	if (field.kind === 'tally')
		return Object.entries(value).map(([word, times]) => `${word} ${times}`).join('\n');
	if (isLength(field) && lengthUnit() === 'ft')
		return feetAndInches(value);
	return typedNumber(field.unit === 'share' ? value * 100 : value);
}

function rowOf(field, line) {
	const cells = line.trim().split(/[\s;]+/).map((cell, i) => (field.columns[i]?.words ? cell : readNumber(cell)));
	if (cells.length !== field.columns.length || cells.includes(null))
		return null;
	return field.columns[0].name === null ? cells
		: Object.fromEntries(cells.map((cell, i) => [field.columns[i].name, cell]));
}

function tallyOf(lines) {
	const pairs = lines.map((line) => line.trim().match(/^([a-z0-9-]+)[\s:]+(\d+)$/));
	return pairs.includes(null) ? null : Object.fromEntries(pairs.map(([, word, times]) => [word, Number(times)]));
}

/* Undefined where nothing is typed, null where it can't be read. */
function valueOf(field, text) {
	if (text.trim() === '')
		return undefined;
	if (field.mayBeUnknown && text.trim() === say('unsure'))
		return 'unknown';
	if (field.kind === 'list' || field.kind === 'tally') {
		const lines = text.split('\n').filter((line) => line.trim() !== '');
		const rows = field.kind === 'tally' ? tallyOf(lines) : lines.map((line) => rowOf(field, line));
		return rows === null || (Array.isArray(rows) && rows.includes(null)) ? null : rows;
	}
	if (isLength(field))
		return readLength(text, lengthUnit());
	const value = readNumber(text);
	return value !== null && field.unit === 'share' ? value / 100 : value;
}

/* ---- what stands beside a control ---- */

function unitText(field) {
	if (isLength(field))
		return lengthUnit();
	return field.unit === 'share' ? '%' : unitName(field.unit);
}

/* What a text in the other system of lengths comes to. */
function inMetres(field, text, value) {
	return isLength(field) && typeof value === 'number' && (lengthUnit() === 'ft' || /['"′″’”fip]/i.test(text))
		? say('in-metres', { value: `${typedNumber(Math.round(value * 100) / 100)}\u00a0m` }) : '';
}

function problemsOf(store, pointer) {
	const own = [];
	for (const [at, texts] of store.problems)
		if (at === pointer || (at.startsWith(`${pointer}/`) && !store.hasControl(at)))
			own.push(...texts);
	return own;
}

/* ---- kinds of control: each returns {input, show, listen} ---- */

function textControl(store, field, id) {
	const tall = field.kind === 'list' || field.kind === 'tally';
	const input = h(tall ? 'textarea' : 'input', {
		id, type: tall ? null : 'text', rows: tall ? 3 : null, autocomplete: 'off', spellcheck: 'false', autocapitalize: 'off',
		inputmode: !tall && !isLength(field) ? 'decimal' : null,
		input: () => {
			const value = valueOf(field, input.value);
			const keep = value === null || (value !== undefined && textOf(field, value) !== input.value);
			if (keep)
				store.state.typed[field.pointer] = input.value;
			else
				delete store.state.typed[field.pointer];
			store.give(field.pointer, value ?? undefined, value === null ? say('unreadable') : null);
		},
	});
	const show = (value) => {
		if (document.activeElement !== input)
			input.value = store.state.typed[field.pointer] ?? textOf(field, value);
		return inMetres(field, input.value, value);
	};
	return { input, show };
}

function blankText(field) {
	return say(`blank-${field.leftOut ?? 'must'}`);
}

function choicesOf(store, field) {
	const titles = store.region?.words?.[field.pointer];
	const rows = field.kind === 'yesno' ? [['true', say('yes')], ['false', say('no')]]
		: field.words.map((word) => [word, capital(wordTitle(field.pointer, word, titles))]);
	return field.mayBeUnknown ? [...rows, ['unknown', say('unsure')]] : rows;
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
const choiceValue = (field, text) => (text === '' ? undefined : field.kind === 'yesno' && text !== 'unknown' ? text === 'true' : text);

function selectControl(store, field, id) {
	let shownRows = null;
	const input = h('select', { id, change: () => store.give(field.pointer, choiceValue(field, input.value)) });
	const show = (value) => {
		const rows = [['', blankText(field)], ...choicesOf(store, field)];
		const key = rows.join();
		if (key !== shownRows)
			input.replaceChildren(...rows.map(([word, title]) => h('option', { value: word }, title)));
		shownRows = key;
		input.value = value === undefined ? '' : String(value);
		return '';
	};
	return { input, show };
}

function dateControl(store, field, id) {
	const input = h('input', { id, type: 'date', change: () => store.give(field.pointer, input.value || undefined) });
	return { input, show: (value) => ((input.value = value ?? ''), '') };
}

function setControl(store, field, id) {
	const input = h('div', { id, class: 'checks', role: 'group' });
	const change = () => {
		const ticked = [...input.querySelectorAll('input:checked')].map((box) => box.value);
		store.give(field.pointer, ticked.includes('none-of-these') ? [] : ticked.length > 0 ? ticked : undefined);
	};
	const tick = (word, on) => {
		const box = h('input', { type: 'checkbox', value: word, checked: on, change: () => {
			for (const other of input.querySelectorAll('input'))
				if ((word === 'none-of-these') !== (other.value === 'none-of-these') && box.checked)
					other.checked = false;
			change();
		} });
		return h('label', { class: 'check' }, box, choiceTitle(word));
	};
	const choiceTitle = (word) => (word === 'none-of-these' ? say('none-of-these') : word === 'unknown' ? say('unsure')
		: wordTitle(field.pointer, word, store.region?.words?.[field.pointer]));
	const show = (value) => {
		const held = Array.isArray(value) ? value : value === 'unknown' ? ['unknown'] : [];
		const none = Array.isArray(value) && value.length === 0;
		const at = [...input.querySelectorAll('input')].indexOf(document.activeElement);
		input.replaceChildren(...field.words.map((word) => tick(word, held.includes(word))),
			tick('unknown', held.includes('unknown')), tick('none-of-these', none));
		if (at >= 0)
			input.querySelectorAll('input')[at].focus();
		return '';
	};
	return { input, show };
}

function monthsControl(store, field, id) {
	const pick = (which) => h('select', { 'aria-label': say(which), change }, h('option', { value: '' }, '–'),
		Array.from({ length: 12 }, (_, i) => h('option', { value: i + 1 }, monthName(i + 1))));
	const change = () => {
		const both = [from, to].map((select) => Number(select.value));
		store.give(field.pointer, both.includes(0) ? undefined : both);
	};
	const from = pick('from-month');
	const to = pick('to-month');
	const show = (value) => {
		if (Array.isArray(value))
			[from.value, to.value] = value;
		return '';
	};
	return { input: h('div', { id, class: 'pair', role: 'group' }, from, to), show };
}

function makerOf(field) {
	if (field.kind === 'choice' || field.kind === 'yesno')
		return selectControl;
	return { date: dateControl, set: setControl, months: monthsControl }[field.kind] ?? textControl;
}

/* A labelled control with its hint and its error. options: label, brief (no hint), make. */
export function control(store, pointer, options = {}) {
	const field = store.fields.get(pointer);
	const id = `c${++count}`;
	const { input, show } = (options.make ?? makerOf(field))(store, field, id);
	const labelText = options.label ?? fieldLabel(field, pointer);
	const unit = h('span', { class: 'unit' });
	const label = input.matches('input, select, textarea') ? h('label', { for: id }, labelText, unit)
		: h('span', { class: 'label', id: `${id}-label` }, labelText, unit);
	const hint = h('p', { class: 'hint', id: `${id}-hint` });
	const error = h('p', { class: 'error', id: `${id}-error` });
	const columns = field.columns?.map((column) => column.name ?? column.help).join(', ') ?? (field.kind === 'tally' ? say('tally-columns') : '');
	const node = h('div', { class: `field ${field.kind}` }, label, input, hint, error);
	const one = { pointer, node, refresh() {
		const extra = show(get(store.state.enquiry, pointer));
		const texts = problemsOf(store, pointer);
		unit.textContent = ['choice', 'yesno', 'set', 'months', 'date'].includes(field.kind) ? '' : ` ${unitText(field)}`;
		hint.textContent = extra || (columns ? say('one-a-line', { columns }) : '');
		error.textContent = texts.join(' ');
		input.setAttribute('aria-describedby', `${hint.id} ${error.id}`);
		input.removeAttribute('aria-invalid');
		if (texts.length > 0 && label.htmlFor)
			input.setAttribute('aria-invalid', 'true');
	} };
	if (label.id)
		input.setAttribute('aria-labelledby', label.id);
	if (field.leftOut === 'must')
		input.setAttribute('aria-required', 'true');
	alive.add(one);
	one.refresh();
	return node;
}

/* Anything else that shows a part of the enquiry and wants to be told of changes. */
export function shown(pointer, node, refresh) {
	alive.add({ pointer, node, refresh });
	refresh();
	return node;
}

/* Brings every control in step with the enquiry and its problems; forgets those that have left the page. */
export function refreshControls() {
	for (const one of [...alive])
		if (one.node.isConnected)
			one.refresh();
		else
			alive.delete(one);
}

export function hasControl(pointer) {
	return [...alive].some((one) => one.pointer === pointer && one.node.isConnected && one.node.classList.contains('field'));
}

/* ---- a question: the same field, large, answered with one press ---- */

/* answered(value) is called once; undefined says 'not sure'. */
export function answerButtons(store, pointer, pictures, answered) {
	const field = store.fields.get(pointer);
	if (field.kind !== 'choice' && field.kind !== 'yesno')
		return null;
	return h('div', { class: 'answers', role: 'group' }, choicesOf(store, field).filter(([word]) => word !== 'unknown')
		.map(([word, title]) => h('button', { type: 'button', class: 'answer', 'data-word': word,
			click: () => answered(choiceValue(field, word)) }, pictures?.(word), h('span', {}, title))));
}

/* A value that the service speaks of, in words. */
export function valueText(store, pointer, value) {
	const field = store.fields.get(pointer);
	if (Array.isArray(value) && field?.kind === 'set')
		return value.length === 0 ? say('none-of-these') : value.map((word) => wordTitle(pointer, word)).join(', ');
	if (typeof value === 'boolean')
		return say(value ? 'yes' : 'no');
	if (typeof value === 'string')
		return value === 'unknown' ? say('unsure') : wordTitle(pointer, value, store.region?.words?.[pointer]);
	if (typeof value === 'object' && value !== null)
		return Object.entries(value).map(([name, part]) => (name === 'kind' ? '' : `${hasText(`s:${name}`) ? say(`s:${name}`) : name} `) +
			valueText(store, `${pointer}/${name}`, part)).join(', ');
	if (field && isLength(field))
		return length(value);
	return field?.unit === 'share' ? `${typedNumber(value * 100)} %` : `${typedNumber(value)} ${unitName(field?.unit ?? '')}`.trim();
}

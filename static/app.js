/* What becomes of the answers: the service is asked, its reply shown. DEVELOPERS.md, "The page", says why things are as
 * they are. */
import { list, parts } from './answer.js';
import { allFields, button, day, fieldOf, fill, find, firstQuestions, get, given, h, hasControl, heading,
	local, nextQuestion, questionCard, readAddress, readLength, refreshControls, say,
	sayAll, set, speakAs, store, textFor, writeAddress } from './form.js';

/* ---- the service ---- */

const running = {};

/* Null where a newer request of the same address took over, or no reply came in the end: again() asks anew. */
async function ask(address, again, sent, headers) {
	const own = new AbortController();
	const { signal } = own;
	const language = history.state?.language;
	const options = { ...sent && { method: 'POST', body: JSON.stringify(sent) }, headers: { ...headers,
		...sent && { 'content-type': 'application/json' }, ...language && { 'accept-language': language } } };

	running[address]?.abort();
	running[address] = own;
	for (const seconds of [1, 2, 4, 8, 0]) {
		const reply = await fetch(address,
			{ ...options, signal: AbortSignal.any([signal, AbortSignal.timeout(20000)]) }).catch(() => null);
		const body = await reply?.json().catch(() => null);
		if (signal.aborted)
			return null;
		if (reply && reply.status < 500 && ![408, 429].includes(reply.status))
			return { status: reply.status, body };
		if (seconds > 0)
			await new Promise((resolve) => {
				setTimeout(resolve, seconds * 1000);
				signal.addEventListener('abort', resolve);
				tell(true, say('trying-again', { seconds }), ' ', button(say('try-now'), resolve));
			});
	}
	tell(true, say('gave-up'), ' ', button(say('try-now'), again));
	return null;
}

function tell(trouble, ...children) {
	const part = find('status');
	part.classList.toggle('trouble', trouble);
	fill(part, children);
}

/* loud: somebody pressed the button, and is brought to the answer or to what is missing. */
async function submit(loud) {
	clearTimeout(timer);
	const reply = await ask('/v1/quote', () => submit(loud), { ...store.state.pinned, ...store.state.enquiry },
		store.token && { authorization: `Bearer ${store.token}` });
	if (!reply)
		return;
	if (reply.status !== 200) {
		showProblems(reply, loud);
		return;
	}
	const { state, quote: before, problems } = store;
	const quote = watched(reply.body);
	Object.assign(quote, { compare: before?.compare, screen: before?.screen,
		range: before?.range && !loud && { ...before.range, isOld: true } });
	Object.assign(store, { quote, problems: new Map(), changed: state.reference !== quote.reference && state.reference });
	Object.assign(local, { currency: quote.currency, minor_digits: quote.minor_digits });
	const { edition, issued_on, start_on } = quote.enquiry;
	state.pinned = { edition, issued_on, start_on };
	state.reference = quote.reference;
	keepAddress();
	if (problems.size > 0)
		refreshControls();
	showAnswer();
	if (loud)
		find('price').querySelector('h2').focus();
	setTimeout(() => store.quote === quote && askMore(), later_ms);
}

async function askMore() {
	const { quote } = store;
	for (const name of ['range', 'compare', 'screen']) {
		const grid = name === 'compare' && store.wantsGrid;
		const reply = await ask(`/v1/${name}`, askMore, { ...quote.enquiry, ...grid && { grid } });
		if (store.quote !== quote)
			return;
		if (reply?.status !== 200)
			continue;
		quote[name] = reply.body;
		redraw();
		if (name === 'range')
			tellPrice();
	}
	showNext();
}

function askGrid() {
	store.wantsGrid = true;
	askMore();
}

function showProblems({ status, body }, loud) {
	const errors = body?.errors ?? [];
	const said = ({ pointer, code, detail }) => (textFor(`err:${code}`) ? say(`err:${code}`, fieldOf(pointer))
		: detail.replace(/^\w+: /, ''));
	store.problems = unreadable();
	for (const error of errors)
		if (!store.unreadable.has(error.pointer))
			store.problems.set(error.pointer, [...store.problems.get(error.pointer) ?? [], said(error)]);
	refreshControls();
	const strays = errors.filter(({ pointer }) => !hasControl(pointer) && !hasControl(fieldOf(pointer)?.pointer));
	tell(true, say(errors.length > 0 ? 'problems' : 'refused', { detail: body?.detail ?? status }),
		strays.length > 0 && list(strays.map((error) => `${error.pointer} ${said(error)}`)));
	document.body.classList.toggle('stale', Boolean(store.quote));
	if (loud)
		(document.querySelector('[aria-invalid="true"]') ?? find('status')).focus();
}

/* ---- the enquiry ---- */

const desk = location.pathname === '/desk';
const pause_ms = desk ? 60 : 250; /* after a key, before the service is asked */
const later_ms = desk ? 200 : 300; /* after that, before it is asked what takes longer */
const rows_most = 64;
let timer = 0;

Object.assign(store, { desk, width: 240, give, changeUnits, askAbout, askGrid });

function isWhole() {
	const { pond: { outline, profile, depth_m: deep } = {}, work } = store.state.enquiry;
	const measured = outline?.points_m || outline?.diameter_m || (outline?.length_m && outline.width_m);
	return Boolean((measured && (deep || profile?.kind === 'stepped')) || work === 'stream') &&
		store.unreadable.size === 0;
}

const keepAddress = () => history.replaceState(history.state, '', `#${writeAddress(store.state)}`);
/* Until then the quote is of the days that the address was opened with. */
const unpin = () => (store.state.pinned = store.state.reference = undefined);
const unreadable = () => new Map([...store.unreadable].map((pointer) => [pointer, [say('unreadable')]]));

async function give(pointer, value, isUnreadable) {
	const { state } = store;
	set(state.enquiry, pointer, value);
	if (typeof value !== 'number')
		for (const typed of Object.keys(state.typed))
			if (typed.startsWith(`${pointer}/`))
				delete state.typed[typed];
	store.unreadable[isUnreadable ? 'add' : 'delete'](pointer);
	store.problems = unreadable();
	unpin();
	keepAddress();
	if (pointer === '/region')
		await readRegion();
	refreshControls();
	clearTimeout(timer);
	if (isWhole() && (desk || store.quote))
		timer = setTimeout(submit, pause_ms);
	if (desk)
		showNext();
}

function changeUnits(units) {
	const { state } = store;
	for (const [pointer, typed] of Object.entries(state.typed))
		if (store.fields.get(pointer)?.unit === 'm' && readLength(typed, local.units) !== null)
			delete state.typed[pointer];
	state.units = local.units = units;
	keepAddress();
	refreshControls();
	if (store.quote)
		showAnswer();
}

/* ---- showing ---- */

const shown = { ...parts, sheet };
const drawn = new Map(); /* of each part: what it read of the quote, and what that was */
const read = new Set();

/* A quote that notes which of its members are read. */
const watched = (quote) => new Proxy(quote, { get(_, name) {
	read.add(name);
	return quote[name];
} });

const seenBy = (names) =>
	JSON.stringify([local.language, local.units, store.width, names.map((name) => store.quote[name])]);

/* Anew only where something differs that it read when it was drawn last. What is folded out stays so, what has the
 * focus keeps it, and where a text is being typed all stays as it is. */
function draw(part) {
	const held = part.contains(document.activeElement) && document.activeElement;
	const { names, seen } = drawn.get(part.id) ?? {};
	if (held?.type === 'text' || (names && seen === seenBy(names)))
		return;
	read.clear();
	const children = shown[part.id]();
	const now = [...read];
	const open = [...part.querySelectorAll('[open]')];
	fill(part, children);
	open.forEach(({ id }) => find(id)?.setAttribute('open', ''));
	if (held)
		(find(held.id) ?? part.querySelector('h2'))?.focus({ preventScroll: true });
	drawn.set(part.id, { names: now, seen: seenBy(now) });
}

const redraw = () => Object.keys(shown).map(find).forEach(draw);

/* What the price says in large, or of its bar. */
function tellPrice() {
	const { quote, changed } = store;
	const isOld = quote.issued_on !== new Date().toISOString().slice(0, 10);
	const [bar, big, title] = [':not(.old) > .range', '.big', 'h2'].map((part) => find('price').querySelector(part));
	const renew = () => {
		unpin();
		submit(true);
	};
	tell(false, bar?.getAttribute('aria-label') ?? (big ?? title).textContent,
		changed && ` ${say('changed-since', { before: changed, now: quote.reference })}`, ' ',
		isOld && button(say('renew', { day: day(quote.issued_on) }), renew));
}

function showAnswer() {
	const { body, documentElement: root } = document;
	body.classList.remove('stale');
	body.classList.add('answered');
	body.classList.toggle('is-invented', store.quote.invented);
	body.dataset.invented = say('invented');
	redraw();
	tellPrice();
	fill(find('link'), h('a', { href: location.href }, location.href));
	/* two sheets of paper hold so many rows in letters of the usual size */
	root.classList.toggle('long', document.querySelectorAll('.flag, #assumed li, #notes li, #works li')
		.length > rows_most);
	if (!find('next').contains(document.activeElement))
		showNext();
}

function showNext(forced) {
	const question = forced ?? (store.quote && nextQuestion());
	const part = find('next');
	const isHeld = part.contains(document.activeElement);
	const pointer = question?.pointer ?? '';
	if (part.dataset.pointer === pointer && part.childElementCount > 0)
		return;
	part.dataset.pointer = pointer;
	const back = store.asked.length > 0 && (() => {
		const before = store.asked.pop();
		store.state.unsure = store.state.unsure.filter((other) => other !== before);
		focusNext({ pointer: before });
	});
	fill(part, question ? questionCard(question, (how) => done(pointer, how), back)
		: store.quote && [heading(say('all-asked')), h('p', say('all-asked-gloss'))]);
	if (isHeld)
		part.querySelector('h2')?.focus();
}

function focusNext(question) {
	showNext(question);
	find('next').querySelector('h2')?.focus();
}

function done(pointer, how) {
	const { state } = store;
	store.asked.push(pointer);
	if (how || given(pointer) === undefined)
		state.unsure = [...new Set([...state.unsure, pointer])];
	if (how === 'no')
		give(pointer);
	keepAddress();
	focusNext();
}

function askAbout(pointer) {
	focusNext({ ...store.quote.assumed.find((one) => one.pointer === pointer) });
}

/* Language, name and address stay in this tab. */
const remember = (what) => history.replaceState({ ...history.state, ...what }, '');

function sheet() {
	const lines = { name: 'name', place: 'street-address' };
	const tellWhom = () => (find('for-whom').textContent = Object.keys(lines).map((key) => history.state?.[key])
		.filter(Boolean).join(', '));
	find('firm').textContent = store.firm;
	tellWhom();
	const inputs = Object.entries(lines).map(([key, autocomplete], i) => h('label', sayAll('paper-lines')[i],
		h('input', { type: 'text', autocomplete, value: history.state?.[key], input(event) {
			remember({ [key]: event.target.value });
			tellWhom();
		} })));
	/* no clipboard where the page came without TLS */
	const copy = () => (navigator.clipboard?.writeText(location.href) ?? Promise.reject())
		.then(() => tell(false, say('copied')), () => tell(false, say('copy-by-hand')));
	return [heading(say('paper')), h('p', say('paper-gloss')), h('div.fields', inputs), h('div.asides',
		button(say('print'), () => window.print(), { class: 'main' }), button(say('copy-link'), copy, { id: 'copy' }))];
}

/* ---- starting ---- */

async function readRegion() {
	const reply = await ask(`/v1/regions/${encodeURIComponent(given('/region'))}`, readRegion);
	if (reply?.status === 200)
		store.region = reply.body;
	drawn.clear();
	const { units, currency, minor_digits } = store.region ?? local;
	Object.assign(local, { currency, minor_digits, units: store.state.units ?? (units === 'us' ? 'ft' : 'm') });
}

function drawForm() {
	for (const node of document.querySelectorAll('[data-say]'))
		node.textContent = say(node.dataset.say);
	document.title = find('title').textContent = say(desk ? 'desk-title' : 'title');
	fill(find('language'), Object.entries(local.languages).map(([code, name]) =>
		button(name, () => speak(code), { lang: code, 'aria-pressed': `${code === local.language}` })));
	fill(find('first'), firstQuestions());
	fill(find('all'), allFields(desk));
	fill(find('next'));
}

async function speak(language) {
	remember({ language });
	await start();
	find('language').querySelector('[aria-pressed="true"]')?.focus();
}

async function openAddress() {
	const state = readAddress(location.hash);
	state.enquiry ??= {};
	const { enquiry, typed } = state;
	enquiry.region ??= store.usual;
	if (enquiry.work !== 'stream') {
		enquiry.pond ??= {};
		enquiry.pond.outline ??= { kind: 'ellipse' };
	}
	Object.assign(store, { state, quote: null, asked: [], reach: null,
		unreadable: new Set(Object.keys(typed)
			.filter((pointer) => typed[pointer] && get(enquiry, pointer) === undefined)) });
	store.problems = unreadable();
	await readRegion();
	drawForm();
	document.body.classList.add('ready');
	if (isWhole())
		await submit();
}

/* First all that is said before anything is asked, in the visitor's language. */
async function start() {
	const replies = await Promise.all([fetch('/words.en.txt').then((reply) => reply.text()),
		...['language', 'regions'].map((name) => ask(`/v1/${name}`, start))]);
	if (replies.includes(null))
		return;
	const [english, spoken, { body: { firm, colour_light: light, colour_dark: dark, regions, default_region } }] = replies;
	const region = new URLSearchParams(location.search).get('region');
	Object.assign(store, { firm, usual: regions.some(({ id }) => id === region) ? region : default_region });
	if (light)
		document.documentElement.style.setProperty('--water', `light-dark(${light}, ${dark ?? light})`);
	speakAs(spoken.body, english);
	store.fields = new Map(spoken.body.fields.map((field) => [field.pointer, field]));
	await openAddress();
}

find('answer').append(...Object.keys(shown).map((id) => h('section.card', { id })), h('p.paper-link', { id: 'link' }));
if (window.parent !== window) {
	const { documentElement: root } = document;
	root.classList.add('framed');
	new ResizeObserver(() => window.parent.postMessage({ pondwright: root.offsetHeight }, '*')).observe(root);
}
document.body.dataset.way = desk ? 'desk' : 'visitor';
if (desk) {
	find('whole').replaceWith(find('all'));
	find('answer').prepend(find('status'));
	find('price').after(find('next'));
}
find('form').addEventListener('submit', (event) => {
	event.preventDefault();
	submit(true);
});
find('token').addEventListener('change', (event) => {
	store.token = event.target.value.trim();
	if (store.quote)
		submit();
});
document.querySelector('.skip').addEventListener('click', (event) => {
	event.preventDefault();
	find('main').focus();
});
/* a text that was being typed there has held the list back */
find('assumed').addEventListener('focusout', ({ target, relatedTarget: next }) => {
	if (target.type === 'text' && !find('assumed').contains(next))
		showAnswer();
});
window.addEventListener('hashchange', () => readAddress(location.hash).enquiry && openAddress());
/* sizes are read here alone: asking for them between changes would lay out the page in between */
new ResizeObserver(([{ contentRect: { width } }]) => {
	if (width > 0 && Math.abs(width - store.width) > 8) {
		store.width = Math.max(240, width);
		if (store.quote)
			redraw();
	}
}).observe(find('price'));
start();

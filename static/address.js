/* The enquiry as an object addressed by JSON pointers, and the address that holds all of it. */

const names = (pointer) => pointer.slice(1).split('/').map((name) => name.replaceAll('~1', '/').replaceAll('~0', '~'));

export function get(object, pointer) {
	return names(pointer).reduce((value, name) => value?.[name], object);
}

/* Undefined takes the member away. */
export function set(object, pointer, value) {
	const path = names(pointer);
	const last = path.pop();
	let holder = object;

	for (const name of path) {
		if (typeof holder[name] !== 'object' || holder[name] === null) {
			if (value === undefined)
				return;
			holder[name] = {};
		}
		holder = holder[name];
	}
	if (value === undefined)
		delete holder[last];
	else
		holder[last] = value;
}

/* Things whose presence says something, even with nothing in them. */
const things = new Set(['/old_pond', '/stream', '/water/kept_pump', '/pond', '/pond/outline', '/old_pond/outline']);

/* The enquiry without brackets around nothing. */
export function pruned(value, pointer = '') {
	if (typeof value !== 'object' || value === null || Array.isArray(value))
		return value;
	const kept = Object.entries(value)
		.map(([name, member]) => [name, pruned(member, `${pointer}/${name}`)])
		.filter(([, member]) => member !== undefined);
	return kept.length > 0 || things.has(pointer) || pointer === '' ? Object.fromEntries(kept) : undefined;
}

function toBase64url(text) {
	const bytes = new TextEncoder().encode(text);
	return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''))
		.replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
}

function fromBase64url(text) {
	const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
	return new TextDecoder('utf-8', { fatal: true }).decode(Uint8Array.from(binary, (char) => char.charCodeAt(0)));
}

export function emptyState() {
	return { enquiry: {}, typed: {}, unsure: [], units: null, pinned: null, reference: null };
}

const isThing = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);

/* One letter a part: enquiry, typed texts that a number alone would not give back, questions answered with
 * 'not sure', units, what pins the quote to its day, its reference. */
export function writeAddress(state) {
	return toBase64url(JSON.stringify({
		e: pruned(state.enquiry),
		t: Object.keys(state.typed).length > 0 ? state.typed : undefined,
		n: state.unsure.length > 0 ? state.unsure : undefined,
		u: state.units ?? undefined,
		p: state.pinned ?? undefined,
		r: state.reference ?? undefined,
	}));
}

/* Null for what is no address of ours: anyone can write one. */
export function readAddress(fragment) {
	try {
		const held = JSON.parse(fromBase64url(fragment.replace(/^#/, '')));
		if (!isThing(held) || !isThing(held.e))
			return null;
		return {
			enquiry: held.e,
			typed: isThing(held.t) ? held.t : {},
			unsure: Array.isArray(held.n) ? held.n.filter((pointer) => typeof pointer === 'string') : [],
			units: held.u === 'm' || held.u === 'ft' ? held.u : null,
			pinned: isThing(held.p) ? held.p : null,
			reference: typeof held.r === 'string' ? held.r : null,
		};
	} catch {
		return null;
	}
}

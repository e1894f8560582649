/* Enquiries made from the schema alone, good and broken, by a generator with a seed. */

/* Mulberry32, a well-known small generator in the public domain. */
export function randomFrom(seed) {
	let state = seed >>> 0;
	const next = () => {
		state = (state + 0x6d2b79f5) >>> 0;
		let t = state;
		t = Math.imul(t ^ (t >>> 15), t | 1);
		t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
	};
	return {
		share: next,
		below: (n) => Math.floor(next() * n),
		one: (list) => list[Math.floor(next() * list.length)],
	};
}

/* Small numbers are likelier, as in life; three decimals. */
function numberOf(random, schema) {
	const { minimum = 0, maximum = 100 } = schema;
	const at = minimum + (maximum - minimum) * random.share() ** 3;
	return schema.type === 'integer' ? Math.round(at) : Math.min(maximum, Math.max(minimum, Math.round(at * 1000) / 1000));
}

function textOf(random, schema) {
	if (schema.format === 'date')
		return `20${26 + random.below(3)}-${String(1 + random.below(12)).padStart(2, '0')}-${String(1 + random.below(28)).padStart(2, '0')}`;
	return `${1 + random.below(12)}..${1 + random.below(12)}`; /* the only other text is a range of months */
}

/* Corners on a circle, each at an angle of its own, make an outline that crosses nowhere. */
function pointsOf(random) {
	const corners = 3 + random.below(12);
	return Array.from({ length: corners }, (_, i) => {
		const angle = (2 * Math.PI * (i + 0.8 * random.share())) / corners, radius = 1 + 4 * random.share();
		return [Math.round(radius * Math.cos(angle) * 100) / 100, Math.round(radius * Math.sin(angle) * 100) / 100];
	});
}

function stepsOf(random) {
	let inset_m = 0, depth_m = 0;
	return Array.from({ length: 1 + random.below(4) }, () => {
		inset_m = Math.round((inset_m + 0.3 * random.share()) * 100) / 100;
		depth_m = Math.round((depth_m + 0.1 + 0.4 * random.share()) * 100) / 100;
		return { inset_m, depth_m };
	});
}

function listOf(random, schema, name) {
	if (name === 'points_m')
		return pointsOf(random);
	if (name === 'steps')
		return stepsOf(random);
	const least = schema.minItems ?? 0, most = Math.min(schema.maxItems ?? 3, least + 2);
	const length = schema.prefixItems ? schema.prefixItems.length : least + random.below(most - least + 1);
	return Array.from({ length }, (_, i) => valueOf(random, schema.prefixItems ? schema.prefixItems[i] : schema.items, name));
}

function objectOf(random, schema, likelihood) {
	const result = {};
	for (const [name, member] of Object.entries(schema.properties)) {
		if (member === false || name === 'measured_within')
			continue;
		if (schema.required?.includes(name) || random.share() < likelihood)
			result[name] = valueOf(random, member, name, likelihood);
	}
	return result;
}

function keptPumpOf(random, schema) {
	const { id } = schema.properties;
	return random.share() < 0.5 ? { id: random.one(id.enum) } : { curve: [[0, 4], [3000, 2.5], [6000, 0]], power_w: 60 };
}

export function valueOf(random, schema, name = '', likelihood = 0.3) {
	if (name === 'kept_pump')
		return keptPumpOf(random, schema);
	if (schema.const !== undefined)
		return schema.const;
	if (schema.enum)
		return random.one(schema.enum);
	const choices = schema.oneOf ?? schema.anyOf;
	if (choices)
		return valueOf(random, random.one(choices), name, likelihood);
	const type = Array.isArray(schema.type) ? random.one(schema.type) : schema.type;
	switch (type) {
	case 'object': return objectOf(random, schema, likelihood);
	case 'array': return listOf(random, schema, name);
	case 'boolean': return random.share() < 0.5;
	case 'string': return textOf(random, schema);
	default: return numberOf(random, { ...schema, type });
	}
}

/* A good enquiry by the schema: its values need not agree with each other. */
export function enquiryOf(random, schema) {
	const enquiry = objectOf(random, schema, 0.15 + 0.3 * random.share());
	const { properties } = schema;
	if (enquiry.work === 'stream')
		enquiry.stream ??= valueOf(random, properties.stream, 'stream');
	else
		enquiry.pond ??= valueOf(random, properties.pond, 'pond');
	const profile = enquiry.pond?.profile?.kind;
	if (enquiry.pond && profile === 'stepped')
		delete enquiry.pond.depth_m;
	else if (enquiry.pond)
		enquiry.pond.depth_m = Math.round((0.3 + 2 * random.share()) * 100) / 100;
	for (const name of enquiry.pond ? Object.keys(schema.then.properties.facts.properties) : [])
		delete enquiry.facts?.[name];
	return enquiry;
}

/* Every place in a value that can be broken: its holder and its key there, and its pointer. */
function placesOf(value, pointer = '') {
	if (value === null || typeof value !== 'object')
		return [];
	return Object.keys(value).flatMap((key) => {
		const here = `${pointer}/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`;
		return [{ holder: value, key, pointer: here }, ...placesOf(value[key], here)];
	});
}

const breaks = [
	({ holder, key }) => { holder[key] = null; },
	({ holder, key }) => { holder[key] = typeof holder[key] === 'string' ? 7 : 'nonsense'; },
	({ holder, key }) => { holder[key] = Array.isArray(holder[key]) ? {} : []; },
	({ holder, key }) => { if (typeof holder[key] === 'number') holder[key] = -1e6; else holder[key] = 1.5; },
	({ holder, key }) => { if (typeof holder[key] === 'number') holder[key] = 1e9; else holder[key] = 'no-such-word'; },
	({ holder, key }) => { if (Array.isArray(holder)) holder.push(...Array(201).fill(holder[key])); else holder[`${key}x`] = 1; },
	({ holder, key }) => { if (!Array.isArray(holder)) delete holder[key]; else holder.length = 0; },
];

/* Breaks one place of an enquiry, or leaves it good where the break changed nothing that matters. */
export function breakOne(random, enquiry) {
	const place = random.one(placesOf(enquiry));
	random.one(breaks)(place);
	return place.pointer;
}

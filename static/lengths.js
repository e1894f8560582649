/* Lengths as people type them, in metres: '6', '6,5', '6 m', '1m50', '650 cm', '20ft', "14'6", `5' 6 1/2"`. */
const metresOf = { m: 1, cm: 0.01, mm: 0.001, km: 1000, ft: 0.3048, in: 0.0254 };
const spellings = [
	['mm', /^(mm|millim[eè]tres?|millimeters?)(?![a-z])/],
	['cm', /^(cm|centim[eè]tres?|centimeters?)(?![a-z])/],
	['km', /^(km|kilom[eè]tres?|kilometers?)(?![a-z])/],
	['m', /^(m[eè]tres?|meters?|m)(?![a-z])/],
	['ft', /^(feet|foot|ft|pieds?|pi|')(?![a-z'])/],
	['in', /^(inches|inch|in|pouces?|po|")(?![a-z])/],
];
const amount = /^(\d+ \d+\/\d+|\d+\/\d+|\d+(?:\.\d*)?|\.\d+)/;

function plain(text) {
	return text.trim().toLowerCase()
		.replace(/[′’‘`´]/g, "'").replace(/[″”“]|''/g, '"')
		.replace(/½/g, ' 1/2').replace(/¼/g, ' 1/4').replace(/¾/g, ' 3/4')
		.replace(/(\d),(\d)/g, '$1.$2').replace(/[\s\u00a0\u202f]+/g, ' ').trim();
}

function amountValue(text) {
	return text.split(' ').reduce((sum, part) => {
		const [top, bottom] = part.split('/');
		return sum + (bottom === undefined ? Number(top) : Number(top) / Number(bottom));
	}, 0);
}

const isImperial = (unit) => unit === 'ft' || unit === 'in';

/* What a number without a unit means after another length: 14'6 has inches, 1m50 has centimetres. */
function unitAfter(before, digits) {
	if (before === 'ft')
		return 'in';
	return before === 'm' && /^\d\d$/.test(digits) ? 'cm' : null;
}

/* Metres to a tenth of a millimetre, or null for what can't be read. A bare number is in `unit`. */
export function readLength(text, unit) {
	let rest = plain(text);
	let before = null;
	let sum = 0;

	while (rest !== '') {
		const digits = rest.match(amount)?.[1];
		if (digits === undefined)
			return null;
		rest = rest.slice(digits.length).trimStart();
		const spelling = spellings.find(([, pattern]) => pattern.test(rest));
		const own = spelling?.[0] ?? (before === null ? (rest === '' ? unit : null) : unitAfter(before, digits));
		if (!own || (before !== null && (metresOf[own] >= metresOf[before] || isImperial(own) !== isImperial(before))))
			return null;
		rest = spelling ? rest.replace(spelling[1], '').trimStart() : rest;
		sum += amountValue(digits) * metresOf[own];
		before = own;
	}
	return before === null || !Number.isFinite(sum) ? null : Math.round(sum * 1e4) / 1e4;
}

/* A number with a point or a comma, or null. */
export function readNumber(text) {
	const clean = plain(text).replace(/ ?%$/, '').replace(/(\d) (?=\d{3}(\D|$))/g, '$1').replace(',', '.');
	return /^-?(\d+(\.\d*)?|\.\d+)$/.test(clean) ? Number(clean) : null;
}

/* Feet and whole inches. */
export function feetAndInches(metres) {
	const inches = Math.round(metres / metresOf.in);
	const feet = Math.trunc(inches / 12);
	const rest = inches - feet * 12;
	return feet === 0 ? `${rest}″` : rest === 0 ? `${feet}′` : `${feet}′ ${rest}″`;
}

/* This very pond to scale: from above, in a cut, its shell enlarged, its stream from the side. Every drawing is made
 * for a width in pixels, so that its words stay readable on a small screen. */
import { s } from './dom.js';
import { bedDepth, bedOf, ringBox, ringOf } from './shapes.js';
import { area, length, number, say, wordTitle } from './words.js';

const depths = 6; /* shades of water, .deep0 to .deep5 */
let clips = 0;

function svg(width, height, label, ...children) {
	return s('svg', { class: 'drawing', viewBox: `0 0 ${Math.round(width)} ${Math.round(height)}`, width: Math.round(width),
		height: Math.round(height), role: 'img', 'aria-label': label }, ...children);
}

const text = (x, y, words, extra) => s('text', { x, y, ...extra }, words);
const line = (x1, y1, x2, y2, kind) => s('line', { x1, y1, x2, y2, class: kind });
const path = (points, closed) => `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}${closed ? 'Z' : ''}`;
const shade = (depth, deepest) => `deep${Math.min(depths - 1, Math.floor((depth / (deepest || 1)) * (depths - 0.01)))}`;

/* A measure along a line with a tick at both ends. */
function measure(x1, y1, x2, y2, words) {
	const upright = Math.abs(x2 - x1) < 1;
	const tick = (x, y) => (upright ? line(x - 4, y, x + 4, y, 'dimension') : line(x, y - 4, x, y + 4, 'dimension'));
	const at = upright ? { x: x1 + 7, y: (y1 + y2) / 2 + 4 } : { x: (x1 + x2) / 2, y: y1 - 5, 'text-anchor': 'middle' };
	return [line(x1, y1, x2, y2, 'dimension'), tick(x1, y1), tick(x2, y2), s('text', at, words)];
}

/* A step of 1, 2 or 5 times a power of ten that takes some 70 pixels. */
function scaleStep(pixelsPerMetre) {
	const least = 60 / pixelsPerMetre;
	const power = 10 ** Math.floor(Math.log10(least));
	return [1, 2, 5, 10].map((n) => n * power).find((step) => step >= least);
}

function scaleBar(x, y, pixelsPerMetre) {
	const step = scaleStep(pixelsPerMetre);
	return [s('path', { class: 'scale', d: `M${x} ${y - 4}v4h${step * pixelsPerMetre}v-4` }),
		text(x + step * pixelsPerMetre + 6, y + 1, length(step))];
}

/* ---- from above ---- */

/* Bands of equal inset need no geometry: a stroke twice as wide as the inset, clipped to the inside, covers exactly
 * what lies within that distance of the edge. */
export function plan(pond, width) {
	const ring = ringOf(pond.outline);
	const box = ringBox(ring);
	const wide = box.right - box.left;
	const high = box.top - box.bottom;
	const scale = Math.min((width - 70) / wide, 300 / high);
	const left = (width - 60 - wide * scale) / 2 + 4;
	const d = path(ring.map(([x, y]) => [left + (x - box.left) * scale, 26 + (box.top - y) * scale]), true);
	const id = `clip${++clips}`;
	const bands = pond.bed.slice(1).map((point, i) => [pond.bed[i], point])
		.filter(([a, b]) => b[0] > a[0]).reverse();
	const bottom = 26 + high * scale;

	return svg(width, bottom + 40, say('plan-said', { length: length(wide), width: length(high), area: area(pond.surface_m2) }),
		s('clipPath', { id }, s('path', { d })),
		s('path', { d, class: shade(pond.deepest_m, pond.deepest_m) }),
		s('g', { 'clip-path': `url(#${id})` }, bands.map(([a, b]) => s('path', { d, fill: 'none', 'stroke-linejoin': 'round',
			class: `band ${shade((a[1] + b[1]) / 2, pond.deepest_m)}`, 'stroke-width': 2 * b[0] * scale }))),
		s('path', { d, class: 'water-line' }),
		measure(left, 16, left + wide * scale, 16, length(wide)),
		measure(left + wide * scale + 12, 26, left + wide * scale + 12, bottom, length(high)),
		scaleBar(left, bottom + 26, scale));
}

/* ---- in a cut ---- */

/* The cut through the widest circle that fits inside: there the bed is the profile and its mirror image. */
export function section(pond, width) {
	const half = pond.bed.at(-1)[0];
	const across = 2 * half;
	const shell = Math.max(pond.shell_m, 0);
	const rim = pond.freeboard_m;
	const below = pond.deepest_m + shell + 0.15;
	const scale = Math.min((width - 40) / (across + 1.2), 260 / (below + rim + 0.2));
	const middle = width / 2;
	const water = 40 + rim * scale;
	const ground = water - (rim - pond.above_ground_m) * scale;
	const at = ([inset, depth], sideways) => [middle + sideways * (half - inset) * scale, water + depth * scale];
	const bed = [...pond.bed.map((point) => at(point, -1)), ...pond.bed.toReversed().map((point) => at(point, 1))];
	const rims = [[bed[0][0], water - rim * scale], ...bed, [bed.at(-1)[0], water - rim * scale]];
	const bottom = water + below * scale;
	const deepX = middle + Math.min(0.2 * half, half) * scale;

	return svg(width, bottom + 36, say('section-said', { across: length(across), depth: length(pond.deepest_m), rim: length(rim) }),
		s('path', { class: 'ground', d: `M0 ${ground}H${width}V${bottom}H0Z` }),
		s('path', { class: 'hole', d: path([[bed[0][0], Math.min(ground, water) - 1], ...bed, [bed.at(-1)[0], Math.min(ground, water) - 1]], true) }),
		s('path', { class: 'water', d: path(bed, true) }),
		s('path', { class: 'shell', d: path(rims), 'stroke-width': Math.max(2, shell * scale * 2) }),
		s('path', { class: 'water inner', d: path(bed, true) }),
		s('path', { class: 'shell-face', d: path(rims) }),
		s('path', { class: 'ground-line', d: `M0 ${ground}H${rims[0][0]}M${rims.at(-1)[0]} ${ground}H${width}` }),
		s('path', { class: 'water-line', d: `M${bed[0][0]} ${water}H${bed.at(-1)[0]}` }),
		s('path', { class: 'mark', d: `M${middle - 0.6 * half * scale} ${water}l-5 -8h10Z` }),
		measure(bed[0][0], 20, bed.at(-1)[0], 20, length(across)),
		measure(deepX, water, deepX, water + bedDepth(pond.bed, half - Math.min(0.2 * half, half)) * scale, length(pond.deepest_m)),
		scaleBar(8, bottom + 22, scale));
}

/* What is said of the shelf, or nothing. */
export function shelfNote({ bed, deepest_m: deepest }) {
	const at = bed.findIndex(([, depth], i) => i > 0 && depth > 0 && depth < deepest && depth === bed[i - 1][1]);
	return at > 0 ? say('shelf-note', { width: length(bed[at][0] - bed[at - 1][0]), depth: length(bed[at][1]) }) : '';
}

/* ---- the shell enlarged ---- */

/* Layers from the water down to the ground; a sheet is drawn thicker than it is, and the words say what is true. */
export function layers(list, width) {
	const rows = list.toReversed();
	const height = (layer) => Math.max(16, Math.min(90, (layer.thickness_mm ?? 0) * 0.5));
	let y = 20;
	const bars = rows.flatMap((layer) => {
		const top = y;
		y += height(layer);
		return [s('rect', { x: 8, y: top, width: 90, height: height(layer), class: `layer ${layer.kind}` }),
			text(106, top + height(layer) / 2 + 4, layerText(layer))];
	});
	return svg(width, y + 24, rows.map(layerText).join('; '), text(8, 14, say('water-side')), bars, text(8, y + 15, say('ground-side')));
}

export function layerText(layer) {
	const name = wordTitle('/layer', layer.kind);
	const coats = layer.coats > 1 ? ` × ${layer.coats}` : '';
	return layer.thickness_mm > 0 ? `${name}${coats}, ${number(layer.thickness_mm, 1)} mm` : `${name}${coats}`;
}

/* ---- the stream from the side ---- */

/* Points (x from the top, height above the pond) of the bed: cascades fall upright, what is left of the fall is
 * spread evenly between them. */
function streamBed(stream) {
	const cascades = stream.cascades ?? [];
	const drops = cascades.reduce((sum, cascade) => sum + cascade.drop_m, 0);
	const parts = cascades.length + 1;
	const slope = Math.max(0, stream.fall_m - drops) / parts;
	const run = stream.length_m / parts;
	const bed = [[0, stream.fall_m]];

	cascades.forEach((cascade, i) => {
		const height = bed.at(-1)[1] - slope;
		bed.push([run * (i + 1), height], [run * (i + 1), height - cascade.drop_m]);
	});
	return [...bed, [stream.length_m, Math.max(0, bed.at(-1)[1] - slope)]];
}

export function streamSide(stream, pond, water, width) {
	const bed = streamBed(stream);
	const reach = Math.max(1, Math.min(2 * pond.bed.at(-1)[0], stream.length_m * 0.35));
	const scale = (width - 30) / (stream.length_m + reach + 0.6);
	const taller = [1, 2, 5, 10].find((times) => stream.fall_m * scale * times >= 50) ?? 10;
	const up = scale * taller;
	const level = 44 + stream.fall_m * up;
	const at = ([x, height]) => [14 + x * scale, level - height * up];
	const mouth = at([stream.length_m, 0])[0];
	const far = mouth + reach * scale;
	const deep = pond.deepest_m * up;
	const bottom = level + deep + 12;
	const pump = [mouth + (far - mouth) * 0.6, level + deep - 9];
	const points = bed.map(at);
	const below = `${path(points)}L${mouth} ${level}L${mouth + 6} ${bottom}H0V${points[0][1]}Z`;
	const pipe = `M${pump[0]} ${pump[1]}L${mouth + 8} ${level + 14}L${path(points.map(([x, y]) => [x, y + 12]).toReversed()).slice(1)}L${points[0][0] - 6} ${points[0][1] + 12}V${points[0][1] - 3}h6`;
	const lift = water.static_m > 0 ? measure(far + 1, level - water.static_m * up, far + 1, level, '') : [];

	return svg(width, bottom + 58, say('stream-said', { length: length(stream.length_m), fall: length(stream.fall_m) }),
		s('path', { class: 'ground', d: below }),
		s('path', { class: 'ground', d: `M${mouth + 6} ${bottom}L${far} ${bottom}V${level}h14V${bottom + 8}H0V${bottom}Z` }),
		s('path', { class: 'water', d: `M${mouth} ${level}H${far}V${bottom - 2}H${mouth + 8}Z` }),
		s('path', { class: 'stream', d: path(points.map(([x, y]) => [x, y - 2])) }),
		s('path', { class: 'water-line', d: `M${mouth} ${level}H${far}` }),
		water.duty ? [s('path', { class: 'pipe', d: pipe }), s('rect', { class: 'pump', x: pump[0] - 9, y: pump[1] - 7, width: 18, height: 14, rx: 3 })] : [],
		lift, water.static_m > 0 ? text(far - 4, level - (water.static_m * up) - 6, say('lift', { lift: length(water.static_m) }), { 'text-anchor': 'end' }) : [],
		measure(14, 22, mouth, 22, length(stream.length_m)),
		water.duty ? text(8, bottom + 30, say('pump-note', { run: length(water.run_m ?? 0), bore: number(water.bore_mm, 1) })) : [],
		scaleBar(8, bottom + 52, scale), taller > 1 ? text(width - 8, bottom + 52, say('taller', { times: taller }), { 'text-anchor': 'end' }) : []);
}

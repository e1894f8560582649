/* Outlines seen from above as rings of points, and what can be measured on them; metres throughout. */

function ellipse(length_m, width_m, count) {
	return Array.from({ length: count }, (_, i) => {
		const turn = (2 * Math.PI * i) / count;
		return [(length_m / 2) * (1 - Math.cos(turn)), (width_m / 2) * (1 - Math.sin(turn))];
	});
}

/* A rectangle whose corners are quarter circles; a stadium is one with the greatest radius. */
function rounded(length_m, width_m, radius_m) {
	const corners = [[length_m, width_m, 0], [0, width_m, 1], [0, 0, 2], [length_m, 0, 3]];
	const steps = radius_m > 0 ? 8 : 0;
	return corners.flatMap(([x, y, quarter]) => Array.from({ length: steps + 1 }, (_, i) => {
		const turn = (Math.PI / 2) * (quarter + (steps ? i / steps : 0));
		const middle = [x + (x ? -radius_m : radius_m), y + (y ? -radius_m : radius_m)];
		return [middle[0] + radius_m * Math.cos(turn), middle[1] + radius_m * Math.sin(turn)];
	}));
}

/* The ring of an outline of the enquiry, y upwards, or null where it is not whole yet. */
export function ringOf(outline, count = 72) {
	const { kind, length_m: length, width_m: width, diameter_m: diameter, corner_radius_m: radius = 0 } = outline ?? {};

	if (kind === 'polygon')
		return outline.points_m?.length >= 3 ? outline.points_m : null;
	if (kind === 'circle')
		return diameter > 0 ? ellipse(diameter, diameter, count) : null;
	if (!(length > 0) || !(width > 0))
		return null;
	if (kind === 'ellipse')
		return ellipse(length, width, count);
	return rounded(length, width, kind === 'stadium' ? Math.min(length, width) / 2 : Math.min(radius, length / 2, width / 2));
}

export function ringArea_m2(ring) {
	return Math.abs(ring.reduce((sum, [x, y], i) => {
		const [nextX, nextY] = ring[(i + 1) % ring.length];
		return sum + x * nextY - nextX * y;
	}, 0)) / 2;
}

export function ringBox(ring) {
	const xs = ring.map(([x]) => x);
	const ys = ring.map(([, y]) => y);
	return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

const side = (a, b, c) => Math.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));

/* The first two edges that cross, by the number of their first corner, or null. */
export function crossing(ring) {
	const n = ring.length;
	for (let i = 0; i < n; i++)
		for (let j = i + 2; j < n; j++) {
			if (i === 0 && j === n - 1)
				continue;
			const [a, b, c, d] = [ring[i], ring[(i + 1) % n], ring[j], ring[(j + 1) % n]];
			if (side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b))
				return [i, j];
		}
	return null;
}

/* The bed seen in a cut: points (inset, depth) from the water line to the greatest inset; a bed that asks for more
 * inset than there is bottoms out. */
export function bedOf(profile, depth_m, inset_m) {
	const { kind = 'battered', side_slope: slope = 1, shelf_width_m: width = 0, shelf_depth_m: shelf = 0 } = profile;
	let bed = [[0, 0], [slope * depth_m, depth_m]];

	if (kind === 'vertical')
		bed = [[0, 0], [0, depth_m]];
	else if (kind === 'dish')
		bed = Array.from({ length: 17 }, (_, i) => [inset_m * (i / 16), depth_m * (1 - (1 - i / 16) ** 2)]);
	else if (kind === 'stepped')
		bed = (profile.steps ?? []).map((step) => [step.inset_m, step.depth_m]);
	else if (width > 0 && shelf < depth_m)
		bed = [[0, 0], [slope * shelf, shelf], [slope * shelf + width, shelf], [slope * depth_m + width, depth_m]];
	return cut(bed, inset_m);
}

function cut(bed, inset_m) {
	const kept = bed.filter(([inset]) => inset <= inset_m + 1e-9);
	const beyond = bed[kept.length];
	const last = kept.at(-1) ?? [0, 0];

	if (beyond) {
		const share = (inset_m - last[0]) / (beyond[0] - last[0]);
		return [...kept, [inset_m, last[1] + share * (beyond[1] - last[1])]];
	}
	return last[0] < inset_m ? [...kept, [inset_m, last[1]]] : kept;
}

/* Depth at an inset. */
export function bedDepth(bed, inset_m) {
	const after = bed.findIndex(([inset]) => inset >= inset_m);
	if (after <= 0)
		return after === 0 ? bed[0][1] : bed.at(-1)[1];
	const [a, b] = [bed[after - 1], bed[after]];
	return a[1] + ((inset_m - a[0]) / (b[0] - a[0] || 1)) * (b[1] - a[1]);
}

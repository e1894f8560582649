/* The fields of the enquiry, as the service's own schema describes them: one row there is one row here. */

const withoutUnknown = (words) => words.filter((word) => word !== 'unknown');

function leafOf(node) {
	if (node.enum)
		return { kind: 'choice', words: node.enum };
	if (Array.isArray(node.type))
		return { kind: 'count', lo: node.minimum, hi: node.maximum };
	if (node.type === 'boolean')
		return { kind: 'yesno' };
	if (node.type === 'number' || node.type === 'integer')
		return { kind: 'number', whole: node.type === 'integer', lo: node.minimum, hi: node.maximum };
	if (node.type === 'string')
		return { kind: 'date' };
	if (node.type === 'array' && node.items?.enum)
		return { kind: 'set', words: withoutUnknown(node.items.enum) };
	if (node.type === 'array' && node.maxItems === 2)
		return { kind: 'months' };
	if (node.type === 'array')
		return { kind: 'list', columns: columnsOf(node.items) };
	return { kind: 'tally', words: Object.keys(node.properties ?? {}) };
}

/* What an entry of a list holds, in order: names are null where an entry is a list itself. */
function columnsOf(items) {
	if (items.prefixItems)
		return items.prefixItems.map((cell) => ({ name: null, help: cell.description, words: cell.enum }));
	return Object.entries(items.properties).map(([name, cell]) => ({ name, help: cell.description, words: cell.enum }));
}

function addLeaf(fields, pointer, node) {
	const mayBeUnknown = node.anyOf?.some((branch) => branch.const === 'unknown') ?? false;
	fields.set(pointer, {
		pointer, help: node.description, unit: node['x-unit'] ?? '', leftOut: node['x-if-left-out'], usual: node.default,
		mayBeUnknown, ...leafOf(node.anyOf ? node.anyOf[0] : node),
	});
}

/* Objects of the enquiry say which members they require; an object that does not counts things by word. */
function walk(fields, pointer, node) {
	const branches = node.properties ? [node] : node.oneOf;

	if (!branches[0].required) {
		addLeaf(fields, pointer, node);
		return;
	}
	if (pointer !== '')
		fields.set(pointer, { pointer, kind: 'object', help: node.description, unit: '' });
	for (const branch of branches)
		for (const [name, child] of Object.entries(branch.properties)) {
			if (child.type === 'object')
				walk(fields, `${pointer}/${name}`, child);
			else if (child.const !== undefined)
				addKind(fields, `${pointer}/${name}`, child);
			else
				addLeaf(fields, `${pointer}/${name}`, child);
		}
}

/* The member that decides the kind of an object stands in each branch with one word. */
function addKind(fields, pointer, node) {
	const known = fields.get(pointer) ?? { pointer, kind: 'choice', help: node.description, unit: '', words: [] };
	known.words.push(node.const);
	fields.set(pointer, known);
}

/* A map from pointer to field, in the order of the schema. */
export function readSchema(schema) {
	const fields = new Map();
	walk(fields, '', schema);
	return fields;
}

/* The field with the longest pointer that the given one lies in: '/stream/cascades/0/width_m' is of
 * '/stream/cascades'. */
export function fieldOf(fields, pointer) {
	for (let at = pointer; at !== ''; at = at.slice(0, at.lastIndexOf('/')))
		if (fields.has(at))
			return fields.get(at);
	return null;
}

export const isLength = (field) => field.unit === 'm' && field.kind === 'number';

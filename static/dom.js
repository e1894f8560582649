/* Elements without a template language: h for HTML, s for SVG. A function among the attributes is a listener, null and
 * false leave one out; children may be nested lists, and what is neither node nor text is left out. */
const svgSpace = 'http://www.w3.org/2000/svg';

function build(node, attributes, children) {
	for (const [name, value] of Object.entries(attributes ?? {})) {
		if (value === null || value === undefined || value === false)
			continue;
		if (typeof value === 'function')
			node.addEventListener(name, value);
		else if (name === 'value' || name === 'checked')
			node[name] = value;
		else
			node.setAttribute(name, value === true ? '' : value);
	}
	node.append(...children.flat(Infinity).filter((child) => child || child === 0));
	return node;
}

export function h(tag, attributes, ...children) {
	return build(document.createElement(tag), attributes, children);
}

export function s(tag, attributes, ...children) {
	return build(document.createElementNS(svgSpace, tag), attributes, children);
}

export function find(id) {
	return document.getElementById(id);
}

/* Puts new children into a part of the page while someone may be typing there: what has the focus keeps it, with its
 * unfinished text; what was folded out stays so. */
export function refill(part, ...children) {
	const held = part.contains(document.activeElement) ? document.activeElement : null;
	const typed = held && held.tagName === 'INPUT' && held.type === 'text' ? held.value : null;
	const open = new Set([...part.querySelectorAll('details[open]')].map((details) => details.id));

	part.replaceChildren(...children.flat(Infinity).filter(Boolean));
	for (const details of part.querySelectorAll('details'))
		details.open ||= open.has(details.id);
	if (!held || !held.id)
		return;
	const again = find(held.id);
	if (!again) {
		part.querySelector('h2, h3')?.focus();
		return;
	}
	if (typed !== null)
		again.value = typed;
	again.focus({ preventScroll: true });
}

/* A heading that can take the focus when what was below it has gone. */
export function heading(level, ...children) {
	return h(`h${level}`, { tabindex: -1 }, ...children);
}

/* Remembers within this tab; a frame on a foreign page may be denied that, and then nothing is remembered. */
export const tab = {
	read(key) {
		try {
			return sessionStorage.getItem(key);
		} catch {
			return null;
		}
	},
	keep(key, value) {
		try {
			sessionStorage.setItem(key, value);
		} catch {
			/* denied: the page works without */
		}
	},
};

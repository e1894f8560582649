/* What the page says, in one language at a time, and how it writes numbers, money and days. */
import { feetAndInches } from './lengths.js';

export const languages = ['en', 'fr'];
let texts = {};
let language = 'en';
let locale = 'en';
let money = { currency: 'GBP', digits: 2 };
let units = 'm';

/* The first of the reader's languages that we speak. */
export function chooseLanguage(wanted, kept) {
	const first = wanted.map((tag) => tag.slice(0, 2).toLowerCase()).find((tag) => languages.includes(tag));
	return languages.includes(kept) ? kept : first ?? 'en';
}

export async function loadWords(chosen) {
	const reply = await fetch(`/words.${chosen}.json`);
	texts = await reply.json();
	language = chosen;
	locale = navigator.languages.find((tag) => tag.startsWith(chosen)) ?? chosen;
	document.documentElement.lang = chosen;
}

export const spoken = () => language;
export const lengthUnit = () => units;

export function setMoney(currency, digits) {
	money = { currency, digits };
}

export function setUnits(chosen) {
	units = chosen;
}

export const hasText = (key) => Object.hasOwn(texts, key);

/* '{name}' in a text is replaced by the value of that name; one that is missing shows its key, so that it is seen. */
export function say(key, values = {}) {
	return (texts[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? '');
}

export function fieldLabel(field, pointer) {
	return texts[`f:${pointer}`] ?? texts[`f:${pointer.slice(pointer.lastIndexOf('/') + 1)}`] ?? field?.help.split(/[;:] /)[0] ?? pointer;
}

/* A word of a list as people say it: ours, else the configuration's, else the word itself. */
export function wordTitle(pointer, word, titles) {
	const list = pointer.slice(pointer.lastIndexOf('/') + 1);
	return texts[`w:${list}.${word}`] ?? texts[`w:${word}`] ?? titles?.find((row) => row.word === word)?.title ??
		word.replaceAll('-', ' ');
}

export function unitName(unit) {
	return texts[`u:${unit}`] ?? unit;
}

/* Formatters cost more to make than to use. */
const formatters = new Map();

function formatter(kind, options) {
	const key = `${locale} ${JSON.stringify(options)}`;
	if (!formatters.has(key))
		formatters.set(key, new kind(locale, options));
	return formatters.get(key);
}

export function number(value, digits = 2) {
	return formatter(Intl.NumberFormat, { maximumFractionDigits: digits }).format(value);
}

/* Three figures that count. */
export function figure(value) {
	return formatter(Intl.NumberFormat, { maximumSignificantDigits: Math.abs(value) >= 1000 ? 4 : 3 }).format(value);
}

/* A number as it would be typed: no grouping, so that it can be read back. */
export function typedNumber(value) {
	return formatter(Intl.NumberFormat, { maximumFractionDigits: 6, useGrouping: false }).format(value);
}

export function percent(share) {
	return formatter(Intl.NumberFormat, { style: 'percent', maximumFractionDigits: 1 }).format(share);
}

export function length(metres) {
	return units === 'ft' ? feetAndInches(metres) : `${number(metres)}\u00a0m`;
}

export function area(m2) {
	return units === 'ft' ? `${figure(m2 / 0.09290304)}\u00a0ft²` : `${figure(m2)}\u00a0m²`;
}

/* To the smallest coin, or to the whole unit. */
export function amount(minor, exact) {
	const digits = exact ? money.digits : 0;
	return formatter(Intl.NumberFormat, {
		style: 'currency', currency: money.currency, currencyDisplay: 'narrowSymbol', minimumFractionDigits: digits, maximumFractionDigits: digits,
	}).format(minor / 10 ** money.digits);
}

/* To two or three figures, as one says an estimate: 4,650; 12,500. */
export function roundAmount(minor) {
	const whole = minor / 10 ** money.digits;
	const step = 10 ** Math.max(0, Math.floor(Math.log10(Math.max(1, Math.abs(whole)))) - 1) / 2;
	return amount(Math.round(whole / Math.max(1, step)) * Math.max(1, step) * 10 ** money.digits, false);
}

export function day(iso, short) {
	const date = new Date(`${iso}T00:00:00Z`);
	return formatter(Intl.DateTimeFormat, short
		? { day: 'numeric', month: 'short', timeZone: 'UTC' }
		: { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' }).format(date);
}

export function monthName(month) {
	return formatter(Intl.DateTimeFormat, { month: 'long', timeZone: 'UTC' }).format(new Date(Date.UTC(2026, month - 1, 1)));
}

/* Texts of the configuration are in English whatever the page speaks; assistive technology is told so. */
export const theirs = () => (language === 'en' ? null : 'en');

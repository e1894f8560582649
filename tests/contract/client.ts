/* A client as somebody writes it who has nothing but the document: types come from api.ts, which is generated from it. */
import type { components, paths } from './api';

type Enquiry = paths['/v1/quote']['post']['requestBody']['content']['application/json'];
type Quote = paths['/v1/quote']['post']['responses'][200]['content']['application/json'];
type Problem = components['schemas']['Problem'];

export async function quote(base: string, enquiry: Enquiry): Promise<Quote> {
	const reply = await fetch(`${base}/v1/quote`, {
		method: 'POST',
		headers: { 'content-type': 'application/json' },
		body: JSON.stringify(enquiry),
	});
	if (!reply.ok) {
		const problem = (await reply.json()) as Problem;
		throw new Error(problem.errors.map((error) => `${error.pointer}: ${error.detail}`).join('\n'));
	}
	return (await reply.json()) as Quote;
}

export async function grossOfRoundPond(base: string, region: string, diameter_m: number): Promise<number> {
	const answer = await quote(base, {
		region: region as Enquiry['region'],
		pond: { outline: { kind: 'circle', diameter_m }, depth_m: 1.1 },
		site: { soil: 'clay' },
	});
	if (answer.price === null || answer.price.gross_minor === null)
		throw new Error(answer.cannot.map((reason) => reason.why).join('\n'));
	return answer.price.gross_minor;
}

/* The documents of a running service, and validators made from them. */
import addFormats from 'ajv-formats';
import Ajv2020 from 'ajv/dist/2020.js';

function validatorsOf(schemas) {
	const ajv = new Ajv2020({ allErrors: true, strict: false });
	addFormats(ajv);
	ajv.addSchema({ $id: 'https://example.test/openapi', components: { schemas } });
	return (name) => ajv.getSchema(`https://example.test/openapi#/components/schemas/${name}`);
}

const enquiries = /Enquiry|Request$/;

/* Answers are open, so that members can be added; but one that is there and not described is a row that was forgotten. */
function closed(schemas) {
	return Object.fromEntries(Object.entries(schemas).map(([name, schema]) =>
		[name, schema.properties && !enquiries.test(name) ? { ...schema, additionalProperties: false } : schema]));
}

export async function readDocuments(url) {
	const openapi = await fetch(`${url}/openapi.json`).then((reply) => reply.json());
	const enquirySchema = await fetch(`${url}/v1/enquiry-schema`).then((reply) => reply.json());
	const ajv = new Ajv2020({ allErrors: true, strict: false });
	addFormats(ajv);
	ajv.addSchema(enquirySchema, 'https://example.test/v1/enquiry-schema');
	return {
		openapi,
		enquirySchema,
		validator: validatorsOf(openapi.components.schemas),
		closedValidator: validatorsOf(closed(openapi.components.schemas)),
		priced: ajv.getSchema('https://example.test/v1/enquiry-schema#/$defs/quote'),
	};
}

export function faultsOf(validate) {
	const faults = (validate.errors ?? []).map((error) => `${error.instancePath} ${error.message} ${JSON.stringify(error.params)}`);
	return faults.slice(0, 12).join('\n');
}

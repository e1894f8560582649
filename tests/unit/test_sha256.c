#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "sha256.h"

/* NIST's examples of FIPS 180-4 (SHA256.pdf, one and two blocks), the empty message, and those long messages. */
static const struct {
	const char *message;
	size_t times;
	const char *digest;
} examples[] = {
	{"abc", 1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
	{"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1,
		"248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
	{"", 1, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
	{"a", 1000000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
};

START_TEST(published_messages_have_their_digests)
{
	uint8_t digest[SHA256_BYTES];
	char text[SHA256_HEX_SIZE];
	struct sha256 hash;

	sha256_init(&hash);
	for (size_t i = 0; i < examples[_i].times; i++)
		sha256_add(&hash, examples[_i].message, strlen(examples[_i].message));
	sha256_end(&hash, digest);
	sha256_hex(digest, text);
	ck_assert_str_eq(text, examples[_i].digest);
}
END_TEST

/* Every length around the ends of blocks, whole and byte by byte. */
START_TEST(parts_do_not_matter)
{
	char message[200];
	uint8_t whole[SHA256_BYTES], parts[SHA256_BYTES];
	struct sha256 hash;

	memset(message, 'x', sizeof message);
	for (size_t length = 0; length <= sizeof message; length++) {
		sha256_init(&hash);
		sha256_add(&hash, message, length);
		sha256_end(&hash, whole);
		sha256_init(&hash);
		for (size_t i = 0; i < length; i++)
			sha256_add(&hash, message + i, 1);
		sha256_end(&hash, parts);
		ck_assert_mem_eq(whole, parts, SHA256_BYTES);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sha256");
	TCase *tests = tcase_create("sha256");
	SRunner *runner;
	int failed;

	tcase_add_loop_test(tests, published_messages_have_their_digests, 0, sizeof examples / sizeof examples[0]);
	tcase_add_test(tests, parts_do_not_matter);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#include "look.h"

#include <check.h>
#include <string.h>

json_t *member(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);

	ck_assert_msg(value != NULL, "no member %s", key);
	return value;
}

json_int_t amount(json_t *object, const char *key)
{
	json_t *value = member(object, key);

	ck_assert_msg(json_is_integer(value), "%s is no integer", key);
	return json_integer_value(value);
}

double number(json_t *object, const char *key)
{
	json_t *value = member(object, key);

	ck_assert_msg(json_is_number(value), "%s is no number", key);
	return json_number_value(value);
}

const char *word(json_t *object, const char *key)
{
	json_t *value = member(object, key);

	ck_assert_msg(json_is_string(value), "%s is no string", key);
	return json_string_value(value);
}

json_int_t sum_of(json_t *list, const char *key)
{
	json_int_t sum = 0;
	json_t *entry;
	size_t i;

	json_array_foreach(list, i, entry)
		sum += amount(entry, key);
	return sum;
}

json_t *entry_of(json_t *list, const char *key, const char *value)
{
	json_t *entry;
	size_t i;

	json_array_foreach(list, i, entry)
		if (strcmp(word(entry, key), value) == 0)
			return entry;
	return NULL;
}

bool holds_word(json_t *list, const char *value)
{
	json_t *entry;
	size_t i;

	json_array_foreach(list, i, entry)
		if (json_is_string(entry) && strcmp(json_string_value(entry), value) == 0)
			return true;
	return false;
}

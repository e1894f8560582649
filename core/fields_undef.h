/* Forgets the row macros after a reader has included fields.def. Included many times on purpose. */
#undef ROW
#undef OBJECT
#undef NUMBER
#undef WHOLE
#undef YESNO
#undef COUNT
#undef CHOICE
#undef DATE
#undef LIST
#undef VARIANT_NUMBER
#undef VARIANT_LIST
#undef FACT_NUMBER
#undef FACT_YESNO
#undef FACT_CHOICE
#undef FACT_SET
#undef FACT_MONTHS

#include "share.h"

bool share_allows(struct share *share, int64_t now_ns)
{
	int64_t while_ns = now_ns - share->at_ns;

	share->debt_ns = share->debt_ns / SHARE_PAYS > while_ns ? share->debt_ns - while_ns * SHARE_PAYS : 0;
	share->at_ns = now_ns;
	return share->debt_ns < SHARE_OWED_NS;
}

void share_spend(struct share *share, int64_t now_ns, int64_t took_ns)
{
	share->debt_ns += took_ns;
	share->at_ns = now_ns;
}

#ifndef PONDWRIGHT_MIX_H
#define PONDWRIGHT_MIX_H

#include <stdint.h>

/* The finaliser of SplitMix64 (Steele, Lea and Flood 2014): one to one, so different numbers stay different. */
static inline uint64_t mixed(uint64_t value)
{
	value = (value ^ (value >> 30)) * 0xbf58476d1ce4e5b9U;
	value = (value ^ (value >> 27)) * 0x94d049bb133111ebU;
	return value ^ (value >> 31);
}

#endif

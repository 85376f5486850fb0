#pragma once
// Code that is compiled twice: for every processor, and for those of about ten years.

#if defined(__x86_64__)
#define CHOCKSIDE_NEWER [[gnu::target("ssse3,sse4.1,bmi,bmi2")]]
#endif

namespace chockside {

/// Whether this processor runs what is marked CHOCKSIDE_NEWER.
bool newer_processor();

} // namespace chockside

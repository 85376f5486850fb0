#pragma once
// Codes and arguments become sentences here, and nowhere else.

#include <core/base/problem.h>

#include <string>
#include <vector>

namespace chockside::words {

struct Words {
    std::string message; ///< what is so
    std::string mend;    ///< what to do about it; empty where there is nothing sensible to say
};

/// A code without a sentence of its own gives the code and its arguments: never an empty message.
Words of(const Problem&);
/// Message and mend in one line.
std::string line(const Problem&);
/// Every code that has a sentence, for the test that looks for gaps.
std::vector<std::string> codes();

} // namespace chockside::words

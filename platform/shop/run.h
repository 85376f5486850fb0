#pragma once

namespace chockside::shop {

/// The command line. Exit codes: 0 done, 1 the answer is no (verify), 2 usage, 3 input or device error.
int run(int argc, char** argv);

} // namespace chockside::shop

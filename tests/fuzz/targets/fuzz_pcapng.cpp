// Any bytes as a capture file: memory stays within the size of the file.
#include "pieces.h"

#include <core/capture/reader.h>

using namespace chockside;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const auto read = capture::read_all(fuzz::view(data, size));
    std::size_t bytes = 0;
    if (read)
        for (const auto& p : read->packets) bytes += p.bytes.size();
    fuzz::must(bytes <= size);
    return 0;
}

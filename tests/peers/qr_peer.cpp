// The series of symbols as pictures: libqrencode draws each, libzbar (another program's reader) reads it back, with some lost, doubled,
// reordered and soiled on the way. One line; exit 0 good, 1 a symbol or the file came back other than it went, 3 nothing was shown.
#include <core/base/random.h>
#include <core/sync/handover.h>

#include <algorithm>
#include <cstdio>
#include <memory>
#include <qrencode.h>
#include <vector>
#include <zbar.h>

using namespace chockside;

namespace {

struct Picture {
    unsigned side = 0;
    int version = 0;
    std::vector<unsigned char> grey;
};

/// Four pixels a module and the quiet zone of four modules that ISO/IEC 18004 asks for. `soil`: so many modules are turned over.
Picture drawn(const std::string& text, SeededRandom& random, int soil)
{
    const std::unique_ptr<QRcode, void (*)(QRcode*)> code(QRcode_encodeString(text.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), QRcode_free);
    if (!code) return {};
    const unsigned width = static_cast<unsigned>(code->width);
    // Format, timing and finder patterns stand near the edges: what is soiled is the data between them.
    for (int i = 0; i < soil; ++i) {
        const auto x = 10 + random.next() % (width - 20), y = 10 + random.next() % (width - 20);
        code->data[y * width + x] ^= 1;
    }
    Picture p{(width + 8) * 4, code->version, {}};
    p.grey.assign(std::size_t{p.side} * p.side, 255);
    for (unsigned y = 0; y < width * 4; ++y)
        for (unsigned x = 0; x < width * 4; ++x)
            if (code->data[y / 4 * width + x / 4] & 1) p.grey[std::size_t{y + 16} * p.side + x + 16] = 0;
    return p;
}

std::string read_back(const Picture& p)
{
    zbar::ImageScanner scanner;
    scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
    scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
    zbar::Image image(p.side, p.side, "Y800", p.grey.data(), p.grey.size());
    scanner.scan(image);
    const auto first = image.symbol_begin();
    return first == image.symbol_end() ? std::string() : first->get_data();
}

std::string hand_over(SeededRandom& random, int entries)
{
    sync::Handover h;
    h.keys[std::string(32, 'a')] = std::string(64, 'b');
    for (int n = 0; n < entries; ++n) {
        Bytes signature(64), salt(32);
        random.fill(signature);
        random.fill(salt);
        h.lines.push_back({R"({"author":"a","seq":)" + std::to_string(n + 1) + "}", to_hex(signature), to_hex(salt), R"({"text":"Wing tip wet, connector P31 looked at. Ω"})"});
    }
    return sync::text(h);
}

} // namespace

int main()
{
    SeededRandom random(20261126);
    int shown = 0, wrong = 0, unread = 0, soiled = 0, soiled_wrong = 0, widest = 0;
    for (const std::size_t chunk : {std::size_t{120}, std::size_t{600}}) {
        const std::string file = hand_over(random, chunk == 120 ? 12 : 40);
        const auto symbols = sync::symbols_of(file, chunk);
        if (!symbols || symbols->size() < 8) return 3;
        sync::Series series;
        const auto show = [&](std::size_t i, int soil) {
            const Picture p = drawn((*symbols)[i], random, soil);
            const std::string text = read_back(p);
            widest = std::max(widest, p.version);
            ++shown;
            soiled += soil > 0;
            if (text.empty()) ++unread;
            else if (text != (*symbols)[i]) ++(soil ? soiled_wrong : wrong);
            if (!text.empty()) series.add(text);
        };
        // First round: from a random order a third is lost, a third comes twice; then what is missing is shown until all is there.
        std::vector<std::size_t> order(symbols->size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[random.next() % i]);
        for (std::size_t i = 0; i < order.size(); ++i) {
            if (i % 3 == 0) continue;
            show(order[i], i % 5 == 0 ? 20 : 0);
            if (i % 3 == 1) show(order[i], 0);
        }
        if (series.whole() || series.missing().size() < order.size() / 3) ++wrong;
        for (int round = 0; round < 5 && !series.missing().empty(); ++round)
            for (const std::size_t n : series.missing()) show(n - 1, 0);
        const auto whole = series.whole();
        if (!whole || *whole != file || series.damaged() != 0) ++wrong;
    }
    std::printf("{\"peer\":\"libzbar\",\"shown\":%d,\"unread\":%d,\"wrong\":%d,\"soiled\":%d,\"soiled_wrong\":%d,\"largest_version\":%d}\n", shown, unread, wrong, soiled, soiled_wrong, widest);
    return shown == 0 ? 3 : wrong || soiled_wrong || unread > soiled;
}

#include <platform/paint/symbol.h>

#include <memory>
#include <qrencode.h>

namespace chockside::paint {

QImage symbol_modules(const std::string& text)
{
    constexpr int quiet = 4;
    // 8-bit mode stays the library's choice of last resort: letters of the alphanumeric set are packed as such.
    const std::unique_ptr<QRcode, void (*)(QRcode*)> code(QRcode_encodeString(text.c_str(), 0, QR_ECLEVEL_M, QR_MODE_8, 1), QRcode_free);
    if (!code) return {};
    QImage image(code->width + 2 * quiet, code->width + 2 * quiet, QImage::Format_Grayscale8);
    image.fill(255);
    for (int y = 0; y < code->width; ++y)
        for (int x = 0; x < code->width; ++x)
            if (code->data[y * code->width + x] & 1) image.scanLine(y + quiet)[x + quiet] = 0;
    return image;
}

} // namespace chockside::paint

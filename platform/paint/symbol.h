#pragma once

#include <QImage>

#include <string>

namespace chockside::paint {

/// A QR symbol (ISO/IEC 18004, level M) of the text, a pixel for each module, with the quiet zone of four. Null: the text is too long for one.
QImage symbol_modules(const std::string& text);

} // namespace chockside::paint

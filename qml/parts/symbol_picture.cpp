#include "symbol_picture.h"

#include <platform/paint/symbol.h>

#include <algorithm>

namespace chockside::parts {

void SymbolPicture::set_text(const QString& text)
{
    if (!take(text_, text)) return;
    modules_ = text.isEmpty() ? QImage() : paint::symbol_modules(text.toStdString());
    emit text_changed();
}

void SymbolPicture::paint(QPainter* painter)
{
    painter->fillRect(QRectF(0, 0, width(), height()), Qt::white);
    if (modules_.isNull()) return;
    // Whole pixels for a module, so that all are alike.
    const int side = modules_.width(), pixels = std::max(1, static_cast<int>(std::min(width(), height())) / side);
    const double drawn = side * pixels;
    painter->setRenderHint(QPainter::SmoothPixmapTransform, false);
    painter->setRenderHint(QPainter::Antialiasing, false);
    painter->drawImage(QRectF(std::floor((width() - drawn) / 2), std::floor((height() - drawn) / 2), drawn, drawn), modules_);
}

} // namespace chockside::parts

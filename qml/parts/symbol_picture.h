#pragma once
// A QR symbol, always dark on white with its quiet zone: readers want it so in every light.

#include "painted_part.h"

#include <QImage>

namespace chockside::parts {

class SymbolPicture : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString text READ text WRITE set_text NOTIFY text_changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString text() const { return text_; }
    void set_text(const QString& text);
    void paint(QPainter* painter) override;

signals:
    void text_changed();

private:
    QString text_;
    QImage modules_;
};

} // namespace chockside::parts

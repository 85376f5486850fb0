#pragma once
// Status marks and icons: shape first, then colour. A mark stands beside its word.

#include "painted_part.h"

namespace chockside::parts {

class Mark : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString name READ name WRITE set_name NOTIFY name_changed FINAL)
    Q_PROPERTY(QString word READ word NOTIFY name_changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString name() const { return name_; }
    QString word() const; ///< what it means, for who hears it
    void set_name(const QString& name) { if (take(name_, name)) emit name_changed(); }
    void paint(QPainter* painter) override;

signals:
    void name_changed();

private:
    QString name_;
};

class Icon : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString name READ name WRITE set_name NOTIFY name_changed FINAL)
    Q_PROPERTY(QColor color READ color WRITE set_color NOTIFY color_changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString name() const { return name_; }
    QColor color() const { return color_; }
    void set_name(const QString& name) { if (take(name_, name)) emit name_changed(); }
    void set_color(const QColor& color) { if (take(color_, color)) emit color_changed(); }
    void paint(QPainter* painter) override;

signals:
    void name_changed();
    void color_changed();

private:
    QString name_;
    QColor color_ = Qt::black;
};

} // namespace chockside::parts

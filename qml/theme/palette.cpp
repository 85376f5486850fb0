#include "palette.h"

#include <QJSEngine>

namespace chockside::theme {

Palette* Palette::instance()
{
    static Palette* one = new Palette;
    return one;
}

Palette* Palette::create(QQmlEngine*, QJSEngine*)
{
    QJSEngine::setObjectOwnership(instance(), QJSEngine::CppOwnership);
    return instance();
}

void Palette::set_light(int light)
{
    const Light wanted = light == 1 ? Light::sun : light == 2 ? Light::night : Light::day;
    if (wanted == light_) return;
    light_ = wanted;
    emit changed();
}

QString Palette::word() const
{
    return light_ == Light::sun ? tr("Sun") : light_ == Light::night ? tr("Night") : tr("Day");
}

QString Palette::icon() const
{
    return light_ == Light::sun ? QStringLiteral("sun") : light_ == Light::night ? QStringLiteral("night") : QStringLiteral("day");
}

} // namespace chockside::theme

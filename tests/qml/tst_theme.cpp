// Contrast: WCAG 2.2, definitions "contrast ratio" and "relative luminance", SC 1.4.6 (7:1) and 1.4.11. Path data: W3C SVG 1.1, 8.3.

#include "figure_font.h"
#include "metrics.h"
#include "palette.h"
#include "svg_path.h"
#include "tokens.h"

#include <tests/support/test_main.h>

#include <QJsonDocument>
#include <QJsonObject>
#include <QFile>
#include <QFontMetricsF>

using namespace chockside;

class TestTheme : public QObject {
    Q_OBJECT
private slots:
    void contrast_of_published_pairs()
    {
        // Black on white is 21:1 by the definition itself; #767676 on white is the well-known darkest grey that just passes 4.5:1 (WebAIM contrast checker: 4.54).
        QCOMPARE(qRound(theme::contrast(Qt::black, Qt::white) * 100), 2100);
        QVERIFY(qAbs(theme::contrast(QColor("#767676"), Qt::white) - 4.54) < 0.005);
        QVERIFY(qAbs(theme::contrast(QColor("#ff0000"), Qt::white) - 3.998) < 0.005);
    }

    void every_pair_is_strong_enough_in_every_light()
    {
        QVERIFY(theme::tokens().contrast.size() >= 20);
        for (int light = 0; light < 3; ++light)
            for (const auto& [pair, least] : theme::tokens().contrast) {
                const QStringList names = pair.split('/');
                const auto l = static_cast<theme::Light>(light);
                const double found = theme::contrast(theme::colour(l, names[0]), theme::colour(l, names[1]));
                QVERIFY2(found >= least - 0.05, qPrintable(QString("%1 in light %2: %3").arg(pair).arg(light).arg(found)));
            }
    }

    void every_token_stands_in_all_three_palettes()
    {
        const auto& p = theme::tokens().palette;
        QVERIFY(p[0].size() > 25);
        QCOMPARE(QSet<QString>(p[0].keyBegin(), p[0].keyEnd()), QSet<QString>(p[1].keyBegin(), p[1].keyEnd()));
        QCOMPARE(QSet<QString>(p[0].keyBegin(), p[0].keyEnd()), QSet<QString>(p[2].keyBegin(), p[2].keyEnd()));
        for (const auto* name : {"ink", "ground", "panel", "record", "stopBanner"}) QVERIFY(p[0].contains(name));
    }

    void lines_and_arcs_of_path_data()
    {
        QCOMPARE(theme::svg_path("M2 3H10V9l-8-6z").boundingRect(), QRectF(2, 3, 8, 6));
        // A half circle of radius 5 from (0,5) to (10,5): drawn through (5,0) with the sweep flag, through (5,10) without (SVG 1.1, 8.3.8).
        const QRectF up = theme::svg_path("M0 5A5 5 0 0 1 10 5").boundingRect(), down = theme::svg_path("M0 5a5 5 0 0 0 10 0").boundingRect();
        QVERIFY(qAbs(up.top()) < 0.01 && qAbs(up.bottom() - 5) < 0.01);
        QVERIFY(qAbs(down.top() - 5) < 0.01 && qAbs(down.bottom() - 10) < 0.01);
    }

    void marks_and_icons_are_all_drawn()
    {
        for (const auto* name : {"good", "fail", "attn", "unver", "stop", "open", "closed", "collared", "tripped", "none", "run", "defer", "info"}) {
            QVERIFY2(theme::tokens().marks.contains(name), name);
            for (const auto& stroke : theme::tokens().marks.value(name)) {
                const QRectF box = stroke.path.boundingRect();
                QVERIFY2(!stroke.path.isEmpty() && box.left() >= -1 && box.top() >= -1 && box.right() <= 25 && box.bottom() <= 25, name);
            }
        }
        for (const auto* name : {"collar", "cover", "plug", "cable", "breakout", "jumper", "panel", "switch", "session", "tool", "display"}) QVERIFY2(theme::tokens().icons.contains(name), name);
    }

    void figures_have_a_narrow_colon_and_even_digits()
    {
        QFont font(theme::figure_family());
        font.setPixelSize(80);
        const QFontMetricsF wide(font);
        for (const char digit : std::string("123456789")) QCOMPARE(wide.horizontalAdvance(QLatin1Char(digit)), wide.horizontalAdvance('0'));
        QVERIFY(wide.horizontalAdvance(':') < wide.horizontalAdvance('0') * 0.7);
    }

    void sizes_are_held_to_sane_bounds()
    {
        auto* m = theme::Metrics::instance();
        const double before = m->mm();
        m->set_dpi(254);
        QCOMPARE(m->mm(), 10.0); // 254 dots to 25.4 mm
        m->set_dpi(10000);
        QVERIFY(m->mm() < 16);
        m->set_text_scale(9);
        QCOMPARE(m->text_scale(), 2.0);
        m->set_text_scale(0);
        QCOMPARE(m->text_scale(), 1.0);
        m->set_dpi(before * 25.4);
    }
};

CHOCKSIDE_TEST(TestTheme)
#include "tst_theme.moc"

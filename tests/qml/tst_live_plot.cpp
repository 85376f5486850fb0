// The ring image: each column is drawn once, and what is drawn can be seen on the software back end.

#include "live_plot.h"

#include <tests/support/test_main.h>

#include <QImage>

using namespace chockside;

class TestLivePlot : public QObject {
    Q_OBJECT
    static models::LiveFrame frame(std::int64_t ms, bool good) { return {ms, {{"Sensor on", "", 0, good, true}}}; }

    static int dark(const QImage& image)
    {
        int n = 0;
        for (int y = 0; y < image.height(); ++y)
            for (int x = 0; x < image.width(); ++x) n += qAlpha(image.pixel(x, y)) > 128 && qGray(image.pixel(x, y)) < 90;
        return n;
    }

    static QImage painted(parts::LivePlot& plot)
    {
        QImage image(600, 200, QImage::Format_ARGB32_Premultiplied);
        image.fill(Qt::transparent);
        QPainter painter(&image);
        plot.paint(&painter);
        return image;
    }

private slots:
    void only_new_columns_are_drawn()
    {
        models::LiveModel live;
        parts::LivePlot plot;
        plot.setSize({600, 200});
        for (int k = 0; k < 100; ++k) live.push(frame(k * 40, true));
        plot.set_feed(&live);
        painted(plot);
        QCOMPARE(plot.columns_drawn(), 100);
        for (int k = 100; k < 110; ++k) live.push(frame(k * 40, true));
        painted(plot);
        QCOMPARE(plot.columns_drawn(), 110);
    }

    void a_drop_out_is_a_gap()
    {
        models::LiveModel whole, broken;
        for (int k = 0; k < 3000; ++k) {
            whole.push(frame(k * 40, true));
            broken.push(frame(k * 40, k < 1000 || k > 2000));
        }
        parts::LivePlot one, two;
        for (auto* plot : {&one, &two}) plot->setSize({600, 200});
        one.set_feed(&whole);
        two.set_feed(&broken);
        // A third of a line of 1.6 mm over nearly 500 pixels is missing.
        QVERIFY(dark(painted(one)) > dark(painted(two)) + 1000);
    }

    void without_data_it_says_so()
    {
        models::LiveModel live;
        parts::LivePlot plot;
        plot.setSize({600, 200});
        plot.set_feed(&live);
        QVERIFY(dark(painted(plot)) > 20);
    }
};

CHOCKSIDE_TEST(TestLivePlot)
#include "tst_live_plot.moc"

// Every sample on every size: loads without a warning, no key under 11.6 mm (WCAG 2.2 SC 2.5.5: 44 CSS px), primary keys at least 20 mm
// (Colle and Hiszem, Ergonomics 47(13), 2004: no gain above 20 mm, more errors below), all keys inside the window, every key with role and
// name (WCAG 4.1.2), reached by Tab (2.1.1).

#include "sample_backend.h"
#include "window.h"

#include "metrics.h"
#include "tokens.h"

#include <tests/support/test_main.h>

#include <QAccessible>
#include <QDateTime>
#include <QQuickItem>
#include <QQuickWindow>
#include <QScopeGuard>
#include <QSignalSpy>
#include <QTemporaryDir>

#include <set>

using namespace chockside;

class TestScreens : public QObject {
    Q_OBJECT
    QTemporaryDir folder_;
    std::unique_ptr<app::SampleBackend> backend_;
    std::unique_ptr<app::App> app_;
    std::unique_ptr<QQmlApplicationEngine> engine_;
    QQuickWindow* window_ = nullptr;

    static bool is_key(const QQuickItem* item) { return item->metaObject()->indexOfSignal("acted()") >= 0 && item->isVisible() && item->width() > 0; }

    QList<QQuickItem*> keys() const
    {
        QList<QQuickItem*> found;
        std::function<void(QQuickItem*)> walk = [&](QQuickItem* item) {
            if (!item->isVisible()) return;
            if (is_key(item)) found.append(item);
            for (QQuickItem* child : item->childItems()) walk(child);
        };
        walk(window_->contentItem());
        return found;
    }

    QQuickItem* item(const QString& name) const
    {
        QQuickItem* found = nullptr;
        std::function<void(QQuickItem*)> walk = [&](QQuickItem* at) {
            if (!at->isVisible() || found) return;
            if (at->objectName() == name) found = at;
            for (QQuickItem* child : at->childItems()) walk(child);
        };
        walk(window_->contentItem());
        return found;
    }
    void click(QQuickItem* at) { QTest::mouseClick(window_, Qt::LeftButton, {}, at->mapToScene(QPointF(at->width() / 2, at->height() / 2)).toPoint()); }

    static QString label(const QQuickItem* key) { return key->property("label").toString(); }

    void put_on(const QString& name)
    {
        app_->home()->open(name);
        app_->look_at(app_->job()->stage());
        QTest::qWait(1);
    }

    // What can be read: every form at every size of text.

    static bool is(const QQuickItem* item, const char* type)
    {
        const QString name = item->metaObject()->className();
        return name == type || name.startsWith(QString(type) + "_QML");
    }
    static QQuickItem* scroller_of(QQuickItem* item)
    {
        for (QQuickItem* up = item->parentItem(); up; up = up->parentItem())
            if (up->inherits("QQuickFlickable")) return up;
        return nullptr;
    }
    /// Where the letters are, not the box that holds them.
    static QRectF letters(const QQuickItem* text)
    {
        const double w = text->property("contentWidth").toDouble(), h = text->property("contentHeight").toDouble();
        const int across = text->property("effectiveHorizontalAlignment").toInt(), down = text->property("verticalAlignment").toInt();
        const double x = across == Qt::AlignHCenter ? (text->width() - w) / 2 : across == Qt::AlignRight ? text->width() - w : 0;
        const double y = down == Qt::AlignVCenter ? (text->height() - h) / 2 : down == Qt::AlignBottom ? text->height() - h : 0;
        return text->mapRectToScene(QRectF(x, y + text->property("topPadding").toDouble(), w, h - text->property("topPadding").toDouble() - text->property("bottomPadding").toDouble()));
    }
    /// What is left of it inside all that clips.
    static QRectF in_sight(const QQuickItem* item, QRectF box)
    {
        for (QQuickItem* up = item->parentItem(); up; up = up->parentItem())
            if (up->clip()) box &= up->mapRectToScene(QRectF(0, 0, up->width(), up->height()));
        return box;
    }
    static void scroll_to(QQuickItem* text)
    {
        for (QQuickItem* at = scroller_of(text); at; at = scroller_of(at)) {
            const double most = std::max(0.0, at->property("contentHeight").toDouble() - at->height());
            const QRectF box = letters(text);
            const double middle = at->mapFromScene(box.center()).y() + at->property("contentY").toDouble();
            const double origin = at->property("originY").toDouble();
            const double higher = box.height() > at->height() ? middle - box.height() / 2 : middle - at->height() / 2;
            at->setProperty("contentY", std::clamp(higher, origin, origin + most));
        }
    }
    QList<QQuickItem*> texts() const
    {
        QList<QQuickItem*> found;
        std::function<void(QQuickItem*)> walk = [&](QQuickItem* at) {
            if (!at->isVisible() || at->opacity() == 0) return;
            if (at->inherits("QQuickText") && !at->property("text").toString().trimmed().isEmpty()) found.append(at);
            for (QQuickItem* child : at->childItems()) walk(child);
        };
        walk(window_->contentItem());
        return found;
    }
    /// A cell of the strip or the rail, and the journal beside the page: a touch opens what says the whole. So does the newest entry over the keys.
    static bool told_whole_elsewhere(const QQuickItem* text)
    {
        for (const QQuickItem* up = text; up; up = up->parentItem())
            if (is(up, "StripCell") || is(up, "RailCell") || is(up, "JournalThread") || up->objectName() == "newest") return true;
        return false;
    }
    static QString said(const QQuickItem* text) { return "\"" + text->property("text").toString().left(60) + "\""; }

    /// What is wrong with one text where it stands now.
    QString wrong_with(QQuickItem* text, const QList<QQuickItem*>& others, const QList<QQuickItem*>& all_keys)
    {
        scroll_to(text);
        const QRectF box = letters(text);
        if (!told_whole_elsewhere(text)) {
            if (text->property("truncated").toBool()) return said(text) + " is cut short";
            const QRectF seen = in_sight(text, box);
            const QQuickItem* by = scroller_of(text);
            const double room = by ? std::min(box.height(), by->height()) : box.height();
            if (seen.width() < box.width() - 2 || seen.height() < room - 3) return said(text) + QString(" is clipped: %1 x %2 of %3 x %4").arg(seen.width()).arg(seen.height()).arg(box.width()).arg(box.height());
        }
        const QRectF seen = in_sight(text, box);
        if (seen.left() < -1 || seen.right() > window_->width() + 1 || seen.bottom() > window_->height() + 1) return said(text) + " leaves the window";
        for (const QQuickItem* other : others) {
            if (other == text) continue;
            const QRectF both = seen & in_sight(other, letters(other));
            if (both.width() > 2 && both.height() > 0.3 * std::min(box.height(), letters(other).height())) return said(text) + " lies over " + said(other);
        }
        for (const QQuickItem* key : all_keys) {
            if (!key->property("faced").toBool() || key->isAncestorOf(text)) continue;
            const QRectF both = seen & in_sight(key, key->mapRectToScene(QRectF(0, 0, key->width(), key->height())));
            if (both.width() > 2 && both.height() > 4) return said(text) + " lies under " + label(key);
        }
        for (const QQuickItem* up = text->parentItem(); up; up = up->parentItem()) {
            if (!is_key(up) || !up->property("faced").toBool()) continue;
            const QRectF face = up->mapRectToScene(QRectF(0, 0, up->width(), up->height())).adjusted(-1, -1, 1, 1);
            if (!face.contains(box)) return said(text) + " stands out of its key";
        }
        return {};
    }

    /// What is wrong on the glass; a list lays its rows out a frame after its head has grown, so what is wrong is looked at twice.
    QStringList wrong_texts()
    {
        QStringList wrong;
        for (int look = 0; look < 2 && (look == 0 || !wrong.isEmpty()); ++look) {
            if (look > 0) QTest::qWait(200);
            wrong.clear();
            const QList<QQuickItem*> all = texts(), every_key = keys();
            for (QQuickItem* text : all)
                if (const QString why = wrong_with(text, all, every_key); !why.isEmpty()) wrong.append(why);
        }
        return wrong;
    }

    struct Sheet { QString name, view, shows, banner; };
    static QList<Sheet> sheets()
    {
        QList<Sheet> all;
        for (const QString& name : app::sample_names()) all.append({name, name, {}, {}});
        for (const char* sheet : {"open", "live", "earlier", "port", "other", "hands", "note", "journal", "stages", "resume", "settings", "help", "new", "home", "queue"}) all.append({sheet, "05-isolate", sheet, {}});
        all.append({"attention", "05-isolate", {}, "attention"});
        all.append({"stop", "05-isolate", {}, "stop"});
        return all;
    }
    void put_on(const Sheet& sheet)
    {
        app_->show("home");
        emit backend_->bannerChanged({}, {}, {}, {});
        put_on(sheet.view);
        if (sheet.shows == "resume") emit backend_->away({23, {{job::Mark::good, "Warm-up counts on: unit was up 42 min without a break"}}, app::sample_view("05-isolate").journal});
        else if (!sheet.shows.isEmpty()) app_->show(sheet.shows);
        if (!sheet.banner.isEmpty()) emit backend_->bannerChanged(sheet.banner, "Link lost at 15:05:21 Z. Nothing is lost.", "Look at the bridge plug first. It goes on by itself.", {"Leave the aircraft as it is. Six things are open.", "Free space on this tablet."});
        QTest::qWait(30);
    }
    static QString plain(QString text) { return text.replace('\n', ' ').simplified().toLower(); }
    static QString name_of(QQuickItem* item)
    {
        auto* face = QAccessible::queryAccessibleInterface(item);
        return face ? plain(face->text(QAccessible::Name)) : QString();
    }
    /// Every part of what is shown stands in what the row or key is called, or in what is said of it.
    static bool says_all(QQuickItem* row, const QString& shown)
    {
        auto* face = QAccessible::queryAccessibleInterface(row);
        const QString told = plain(face->text(QAccessible::Name) + ", " + face->text(QAccessible::Description));
        const QStringList parts = plain(shown).split(", ");
        return std::all_of(parts.begin(), parts.end(), [&](const QString& part) { return told.contains(part) || !part.contains(QRegularExpression("\\w")); });
    }
    /// The row or key that a text stands in.
    static QQuickItem* row_of(QQuickItem* text)
    {
        for (QQuickItem* up = text->parentItem(); up; up = up->parentItem())
            if (auto* face = QAccessible::queryAccessibleInterface(up); face && (face->role() == QAccessible::ListItem || face->role() == QAccessible::Button)) return up;
        return nullptr;
    }
    QList<QQuickItem*> marks() const
    {
        QList<QQuickItem*> found;
        std::function<void(QQuickItem*)> walk = [&](QQuickItem* at) {
            if (!at->isVisible()) return;
            if (is(at, "chockside::parts::Mark") && scroller_of(at)) found.append(at);
            for (QQuickItem* child : at->childItems()) walk(child);
        };
        walk(window_->contentItem());
        return found;
    }
    void sheets_in_all_forms()
    {
        QTest::addColumn<int>("at");
        QTest::addColumn<QSize>("size");
        QTest::addColumn<double>("scale");
        const QList<Sheet> all = sheets();
        for (double scale : {1.0, 1.5, 2.0})
            for (const auto& [form, size] : {std::pair{"landscape", QSize(1280, 800)}, std::pair{"portrait", QSize(800, 1280)}, std::pair{"phone", QSize(412, 915)}})
                for (int i = 0; i < all.size(); ++i) QTest::addRow("%s, %s, %.0f %%", qPrintable(all[i].name), form, 100 * scale) << i << size << scale;
    }

private slots:
    void initTestCase()
    {
        QTest::failOnWarning(QRegularExpression("qml|QML|binding|Binding"));
        theme::Metrics::instance()->set_dpi(160);
        backend_ = std::make_unique<app::SampleBackend>();
        app_ = std::make_unique<app::App>(*backend_, folder_.filePath("settings.ini"), app::Options{});
        engine_ = std::make_unique<QQmlApplicationEngine>();
        QSignalSpy warnings(engine_.get(), &QQmlEngine::warnings);
        window_ = app::load_window(*engine_, *app_);
        QVERIFY(window_);
        app_->start();
        QVERIFY(QTest::qWaitForWindowExposed(window_));
        QAccessible::setActive(true);
        QCOMPARE(warnings.count(), 0);
    }

    void init() { QTest::failOnWarning(QRegularExpression("qml|QML|binding|Binding")); }

    void cleanupTestCase()
    {
        engine_.reset();
        app_.reset();
    }

    void keys_are_large_enough_and_inside_data()
    {
        QTest::addColumn<QString>("name");
        QTest::addColumn<QSize>("size");
        for (const QString& name : app::sample_names())
            for (const auto& [form, size] : {std::pair{"landscape", QSize(1280, 800)}, std::pair{"portrait", QSize(800, 1280)}, std::pair{"phone", QSize(412, 915)}})
                QTest::addRow("%s, %s", qPrintable(name), form) << name << size;
    }

    void keys_are_large_enough_and_inside()
    {
        QFETCH(QString, name);
        QFETCH(QSize, size);
        const double mm = theme::Metrics::instance()->mm();
        window_->resize(size);
        put_on(name);
        QTest::qWait(30);
        int large = 0;
        const auto all = keys();
        QVERIFY(all.size() >= 4);
        for (QQuickItem* key : all) {
            const QRectF box = key->mapRectToScene(QRectF(0, 0, key->width(), key->height()));
            const QString said = label(key) + QString(" %1 x %2 mm").arg(box.width() / mm).arg(box.height() / mm);
            QVERIFY2(std::min(box.width(), box.height()) >= 11.55 * mm, qPrintable(said));
            QVERIFY2(box.left() >= -1 && box.right() <= size.width() + 1, qPrintable(said));
            if (key->property("large").toBool()) {
                ++large;
                QVERIFY2(box.height() >= 19.95 * mm, qPrintable(said));
                QVERIFY2(box.top() >= 0 && box.bottom() <= size.height() + 1, qPrintable(said));
            }
            auto* face = QAccessible::queryAccessibleInterface(key);
            QVERIFY2(face && face->role() == QAccessible::Button, qPrintable(said));
            QVERIFY2(!face->text(QAccessible::Name).isEmpty(), qPrintable(said));
        }
        QCOMPARE(large, 1);
        const auto* page = window_->findChild<QQuickItem*>("page");
        QVERIFY(page && page->property("item").value<QQuickItem*>());
        QVERIFY(page->implicitHeight() > 10 * mm);
    }

    void a_job_that_cannot_be_opened_is_told_at_home_and_shows_no_other()
    {
        put_on("05-isolate");
        app_->show("home");
        backend_->refuses = true;
        app_->home()->open("06-live");
        backend_->serve("05-isolate"); // the desk goes on to tell of the job before
        QCOMPARE(app_->screen(), QString("home"));
        QCOMPARE(app_->banner_kind(), QString("attention"));
        QVERIFY(app_->banner_says().contains("not here"));
        backend_->refuses = false;
        put_on("05-isolate");
        QCOMPARE(app_->screen(), QString("job"));
        QCOMPARE(app_->banner_kind(), QString());
    }

    void cautions_are_read_on_the_glass_before_the_key_acts()
    {
        window_->resize(1280, 800);
        put_on("05-isolate");
        auto view = app::sample_view("05-isolate");
        view.job = "05-isolate";
        view.next.kind = job::Prompt::Kind::act;
        view.next.command = "did";
        view.next.before = {{"WARNING", "Control surfaces may move."}};
        emit backend_->viewChanged(view);
        app_->show("open");
        const auto before = backend_->submitted.size();
        const auto large = [this] {
            for (QQuickItem* key : keys())
                if (key->property("large").toBool()) return key;
            return static_cast<QQuickItem*>(nullptr);
        };
        QTRY_VERIFY(large());
        QMetaObject::invokeMethod(large(), "acted");
        QCOMPARE(backend_->submitted.size(), before);
        QCOMPARE(app_->screen(), QString("job"));
        QTest::qWait(20);
        QMetaObject::invokeMethod(large(), "acted");
        QCOMPARE(backend_->submitted.size(), before + 1);
    }

    void a_form_of_lines_has_a_field_for_each_and_none_is_filled()
    {
        put_on("05-isolate");
        auto view = app::sample_view("05-isolate");
        view.job = "05-isolate";
        view.stage = view.next.stage = job::Stage::prove;
        view.next.id = view.next.command = "defer";
        view.next.kind = job::Prompt::Kind::text;
        view.next.say = "Not proved here. Defer it by name, or hand it over.";
        view.next.key_large = "Record the deferral";
        view.next.choices.clear();
        view.next.before.clear();
        view.next.fields = {{"item", "What is deferred, list item"}, {"category", "Category"}, {"expires", "Ends, day or hours"}, {"placard", "Placard, and where"}, {"authority", "On whose authority"}};
        emit backend_->viewChanged(view);
        app_->look_at(app_->job()->stage());
        for (const QSize& size : {QSize(1280, 800), QSize(412, 915)}) {
            window_->resize(size);
            QTRY_VERIFY(item("field:item"));
            for (const auto& [field, title] : view.next.fields) {
                QQuickItem* line = item(QString::fromStdString("field:" + field));
                QVERIFY(line);
                QCOMPARE(line->property("title").toString().toStdString(), title);
                QCOMPARE(line->property("text").toString(), QString());
            }
        }
        for (const auto& [field, title] : view.next.fields) app_->job()->fill(QString::fromStdString(field), "x");
        QVERIFY(app_->job()->key_ready());
    }

    void what_stands_otherwise_on_return_is_told()
    {
        put_on("05-isolate");
        emit backend_->away({23, {}, {}});
        QTRY_COMPARE(app_->screen(), QString("resume"));
        QTest::qWait(20);
        const QString thing = app_->job()->lists()->left()->value(0, "id").toString();
        for (int i = 0; i < app_->job()->lists()->left()->rowCount(); ++i) {
            auto* key = item((i == 0 ? "not:" : "left:") + app_->job()->lists()->left()->value(i, "id").toString());
            QVERIFY(key);
            QMetaObject::invokeMethod(key, "acted");
        }
        QQuickItem* on = nullptr;
        for (QQuickItem* key : keys())
            if (label(key) == "Go on where I was") on = key;
        QVERIFY(on);
        QMetaObject::invokeMethod(on, "acted");
        const auto& last = backend_->submitted.back();
        QCOMPARE(last.kind, std::string("did"));
        QCOMPARE(last.args["verb"].as_text(), std::string("not_as_left"));
        QCOMPARE(last.args["of"].as_text(), thing.toStdString());
    }

    void of_small_things_answered_together_each_is_asked_for_where_one_is_not_so()
    {
        backend_->submitted.clear();
        put_on("05-isolate");
        emit backend_->away({23, {}, {}});
        QTRY_COMPARE(app_->screen(), QString("resume"));
        QTest::qWait(20);
        const auto say = [this](const QString& key) {
            auto* of = item(key);
            return of && QMetaObject::invokeMethod(of, "acted");
        };
        const auto waits_for = [this] {
            for (QQuickItem* key : keys())
                if (key->property("large").toBool()) return key->property("small").toString();
            return QString();
        };
        for (const char* id : {"fit:probe_covers", "breaker:pitot_ht", "breaker:ap_servo"}) QVERIFY2(say("left:" + QString(id)), id);
        QVERIFY(!item("not:fit:test_cable"));
        QVERIFY(say("not:rest"));
        QTRY_VERIFY(item("not:fit:test_cable"));
        QCOMPARE(waits_for(), QString("Waits: Transponder"));
        QVERIFY(say("left:fit:xpdr") && say("not:fit:test_cable"));
        QTRY_COMPARE(waits_for(), QString("Before you go on"));
        for (QQuickItem* key : keys())
            if (label(key) == "Go on where I was") QMetaObject::invokeMethod(key, "acted");
        int told = 0;
        for (const auto& command : backend_->submitted) {
            if (command.args["verb"].as_text() != "not_as_left") continue;
            ++told;
            QCOMPARE(command.args["of"].as_text(), std::string("fit:test_cable"));
        }
        QCOMPARE(told, 1);
    }

    void small_glass_reaches_shop_help_journal_and_live_too()
    {
        for (const QSize size : {QSize(360, 740), QSize(800, 1280), QSize(1280, 800)}) {
            window_->resize(size);
            app_->show("home");
            QTest::qWait(50);
            const auto tap = [this](const QString& word) {
                for (QQuickItem* key : keys())
                    if (label(key) == word) return QMetaObject::invokeMethod(key, "acted");
                return false;
            };
            QVERIFY(tap("Shop"));
            QTRY_COMPARE(app_->screen(), QString("queue"));
            QVERIFY(tap("Settings"));
            QTRY_COMPARE(app_->screen(), QString("settings"));
            QTest::qWait(50);
            QVERIFY(tap("Help"));
            QTRY_COMPARE(app_->screen(), QString("help"));
            put_on("05-isolate");
            app_->show("open");
            QTRY_VERIFY(item("side:journal"));
            QMetaObject::invokeMethod(item("side:journal"), "acted");
            QTRY_COMPARE(app_->screen(), QString("journal"));
            QTRY_VERIFY(item("side:live"));
            QMetaObject::invokeMethod(item("side:live"), "acted");
            QTRY_COMPARE(app_->screen(), QString("live"));
        }
    }

    void nothing_is_done_before_the_return_is_answered()
    {
        put_on("05-isolate");
        emit backend_->away({23, {}, {}});
        QTRY_COMPARE(app_->screen(), QString("resume"));
        app_->show("open");
        QTest::qWait(20);
        backend_->submitted.clear();
        for (QQuickItem* key : keys())
            if (key->property("large").toBool()) QMetaObject::invokeMethod(key, "acted");
        QTRY_COMPARE(app_->screen(), QString("resume"));
        QVERIFY(backend_->submitted.empty());
        app_->show("job"); // the way back
        QCOMPARE(app_->screen(), QString("resume"));
        app_->look_at(app_->job()->stage());
        QCOMPARE(app_->screen(), QString("resume"));
        app_->went_on();
        QCOMPARE(app_->screen(), QString("job"));
    }

    void on_return_large_text_on_a_phone_asks_before_it_tells()
    {
        const auto end_of_scale = qScopeGuard([this] { app_->settings()->set_text_scale(1); });
        for (const double scale : {1.0, 2.0}) {
            window_->resize(412, 915);
            app_->settings()->set_text_scale(scale);
            put_on("05-isolate");
            emit backend_->away({23, {{job::Mark::good, "Warm-up counts on"}}, app::sample_view("05-isolate").journal});
            QTRY_COMPARE(app_->screen(), QString("resume"));
            QTest::qWait(50);
            double asked = -1, told = -1;
            const std::function<void(QQuickItem*)> walk = [&](QQuickItem* at) {
                const QString text = at->property("text").toString();
                if (text.startsWith("Go and look")) asked = at->mapToScene({}).y();
                if (text.startsWith("You stopped here")) told = at->mapToScene({}).y();
                for (QQuickItem* child : at->childItems()) walk(child);
            };
            walk(window_->contentItem());
            QVERIFY(asked >= 0 && told >= 0);
            QCOMPARE(asked < told, scale > 1);
            app_->went_on();
        }
    }

    void no_other_word_takes_the_place_of_a_stop()
    {
        put_on("05-isolate");
        emit backend_->bannerChanged("stop", "The tablet is full", "Nothing is written.", {});
        emit backend_->bannerChanged("attention", "Link lost", "", {});
        emit backend_->bannerChanged({}, {}, {}, {});
        QCOMPARE(app_->banner_kind(), QString("stop"));
        QCOMPARE(app_->banner_head(), QString("The tablet is full"));
        app_->show("home");
        QVERIFY(app_->banner_kind().isEmpty());
    }

    void tab_reaches_the_large_key()
    {
        window_->resize(1280, 800);
        put_on("05-isolate");
        QTest::qWait(20);
        bool reached = false;
        for (int i = 0; i < 60 && !reached; ++i) {
            QTest::keyClick(window_, Qt::Key_Tab);
            reached = window_->activeFocusItem() && window_->activeFocusItem()->property("large").toBool();
        }
        QVERIFY(reached);
        QTRY_VERIFY(!window_->activeFocusItem()->property("fresh").toBool());
        backend_->submitted.clear();
        QTest::keyClick(window_, Qt::Key_Space);
        QCOMPARE(backend_->submitted.size(), 1u);
    }

    void the_theme_key_changes_what_qml_shows()
    {
        app_->settings()->set_light(2);
        QCOMPARE(window_->color(), theme::colour(theme::Light::night, "panel"));
        app_->settings()->set_light(0);
        QCOMPARE(window_->color(), theme::colour(theme::Light::day, "panel"));
    }

    void choices_are_there_after_another_sheet_was_shown()
    {
        put_on("02-write-up");
        app_->show("note");
        QTest::qWait(5);
        app_->show("job");
        QTest::qWait(5);
        const auto all = keys();
        QVERIFY(std::any_of(all.begin(), all.end(), [](const QQuickItem* key) { return label(key) == "Not showing"; }));
    }

    void a_note_that_is_not_written_keeps_its_words()
    {
        window_->resize(1280, 800);
        put_on("05-isolate");
        app_->show("note");
        QTRY_VERIFY(item("field:note"));
        backend_->refuses = true;
        const auto words = [this] { return item("field:note") ? item("field:note")->property("text").toString() : QString(); };
        QMetaObject::invokeMethod(item("field:note"), "edited", Q_ARG(QString, "wet at P9"));
        QTRY_COMPARE(words(), QString("wet at P9"));
        QMetaObject::invokeMethod(item("largeKey"), "acted");
        QTest::qWait(50);
        QCOMPARE(app_->screen(), QString("note"));
        QCOMPARE(words(), QString("wet at P9"));
        QVERIFY(!item("largeKey")->property("waits").toBool()); // and can be sent again
        backend_->refuses = false;
        const auto before = backend_->submitted.size();
        QMetaObject::invokeMethod(item("largeKey"), "acted");
        QVERIFY(item("largeKey")->property("waits").toBool()); // once
        QTRY_COMPARE(app_->screen(), QString("job"));
        QCOMPARE(backend_->submitted.size(), before + 1);
        app_->show("note");
        QTRY_VERIFY(item("field:note"));
        QCOMPARE(words(), QString());
    }

    void an_entry_opens_from_the_journal_and_is_voided_with_a_reason()
    {
        for (const QSize size : {QSize(360, 740), QSize(800, 1280), QSize(1280, 800)}) {
            window_->resize(size);
            auto view = app::sample_view("05-isolate");
            put_on("05-isolate");
            app_->show("journal");
            QTRY_VERIFY(item("entry:0"));
            QMetaObject::invokeMethod(item("entry:0"), "acted");
            QTRY_COMPARE(app_->screen(), QString("entry"));
            QTRY_VERIFY(item("field:reason"));
            QVERIFY(item("largeKey")->property("waits").toBool());
            QMetaObject::invokeMethod(item("field:reason"), "edited", Q_ARG(QString, "other aircraft"));
            QTRY_VERIFY(!item("largeKey")->property("waits").toBool());
            QVERIFY(item("largeKey")->property("hold").toBool());
            QMetaObject::invokeMethod(item("largeKey"), "acted");
            QTRY_COMPARE(app_->screen(), QString("journal"));
            QCOMPARE(backend_->submitted.back().kind, std::string("void"));
            QCOMPARE(backend_->submitted.back().args["reason"].as_text(), std::string("other aircraft"));
            // The original stays, and what voids it stands beside it.
            view.job = "05-isolate";
            view.journal.front().amended = true;
            view.journal.front().by = "Voided: other aircraft";
            emit backend_->viewChanged(view);
            QTRY_VERIFY(item("entry:0")->property("struck").toString() == "voided");
            QCOMPARE(item("entry:0")->property("by").toString(), QString("Voided: other aircraft"));
            QVERIFY(!item("entry:0")->property("text").toString().isEmpty());
        }
    }

    void a_picture_is_picked_and_sent_and_with_none_there_is_no_key()
    {
        window_->resize(1280, 800);
        auto view = app::sample_view("05-isolate");
        view.job = "real";
        view.practice = false;
        view.others.clear();
        view.next.verb = "look";
        put_on("05-isolate");
        emit backend_->viewChanged(view);
        QTRY_VERIFY(item("side:note"));
        QVERIFY(!item("side:photo"));
        const QString path = CHOCKSIDE_SOURCE_DIR "/assets/pictures/close.png";
        backend_->pictures = {{path, "close.png", 1'781'706'000'000}};
        backend_->list_pictures();
        QTRY_VERIFY(item("side:photo"));
        QMetaObject::invokeMethod(item("side:photo"), "acted");
        QTRY_COMPARE(app_->screen(), QString("photo"));
        QTRY_VERIFY(item("picture:0"));
        QMetaObject::invokeMethod(item("picture:0"), "acted");
        QCOMPARE(backend_->submitted.back().kind, std::string("photo"));
        QCOMPARE(backend_->submitted.back().args["path"].as_text(), path.toStdString());
        QTRY_COMPARE(app_->screen(), QString("job"));
        backend_->pictures.clear();
        backend_->list_pictures();
        QTRY_VERIFY(!item("side:photo"));
    }

    void what_is_told_two_ways_stands_in_the_open_list_with_what_ends_it()
    {
        for (const QSize size : {QSize(360, 740), QSize(800, 1280), QSize(1280, 800)}) {
            window_->resize(size);
            put_on("05-isolate");
            auto view = app::sample_view("05-isolate");
            view.job = "05-isolate";
            view.disputes = {{"part", "The part that was changed", "off 1, on 2, says LK; off 1, on 3, says JR", "Void the wrong one in the journal."}};
            emit backend_->viewChanged(view);
            app_->show("open");
            QTRY_VERIFY(item("dispute:part"));
            auto* face = QAccessible::queryAccessibleInterface(item("dispute:part"));
            QVERIFY(face && face->text(QAccessible::Name).contains("says JR") && face->text(QAccessible::Name).contains("Void the wrong one"));
            // The strip says so too, within its cell.
            const QQuickItem* word = item("openWord");
            QVERIFY(word);
            const QQuickItem* cell = word->parentItem()->parentItem();
            QVERIFY(word->mapToItem(cell, QPointF(word->implicitWidth(), 0)).x() <= cell->width());
            view.disputes.clear();
            emit backend_->viewChanged(view);
            QTRY_VERIFY(!item("dispute:part"));
        }
    }

    void a_locked_screen_shows_nothing_of_the_job_and_opens_with_a_pin()
    {
        window_->resize(1280, 800);
        put_on("05-isolate");
        QVERIFY(item("who:LK") == nullptr);
        app_->lock()->lock();
        QTRY_VERIFY(item("who:LK"));
        for (const QQuickItem* key : keys()) QVERIFY2(!key->property("large").toBool() || label(key).contains("Unlock"), qPrintable(label(key)));
        click(item("who:LK"));
        QTRY_COMPARE(app_->lock()->person(), QString("LK"));
        click(item("field:unlock"));
        for (const char c : {'4', '8', '0', '2', '1', '5'}) QTest::keyClick(window_, c);
        QTest::keyClick(window_, Qt::Key_Return);
        QTRY_COMPARE(backend_->unlocked.size(), std::size_t(1));
        QCOMPARE(backend_->unlocked[0].first, QString("LK"));
        QCOMPARE(backend_->unlocked[0].second, QString("480215"));
        emit backend_->refused("That is not the PIN.");
        QTRY_COMPARE(app_->lock()->words(), QString("That is not the PIN."));
        app_->settings()->set_person("CW");
        emit backend_->personCame("LK");
        emit backend_->lockChanged(false, {"CW", "LK"});
        QTRY_VERIFY(!item("field:unlock"));
        QCOMPARE(app_->settings()->person(), QString("LK")); // who unlocked works on
        QVERIFY(!keys().isEmpty());
    }

    void places_are_marked_by_keyboard_too()
    {
        put_on("06-flex");
        backend_->marks.clear();
        window_->requestActivate();
        QVERIFY(QTest::qWaitForWindowActive(window_));
        models::FlexSeen seen;
        seen.running = true;
        emit backend_->flexChanged(seen);
        QTest::qWait(20);
        QTest::keyClick(window_, '2');
        QCOMPARE(backend_->marks.size(), std::size_t(1));
        QVERIFY(!backend_->marks[0].empty());
        QTest::keyClick(window_, '1');
        QVERIFY(backend_->marks.back() != backend_->marks.front());
        seen.moved = backend_->marks.back();
        emit backend_->flexChanged(seen);
        QTest::keyClick(window_, '0');
        QCOMPARE(backend_->marks.size(), std::size_t(3));
        QCOMPARE(backend_->marks.back(), std::string());
    }

    void hands_are_taken_off_though_the_count_runs_under_the_finger()
    {
        put_on("06-flex");
        backend_->marks.clear();
        models::FlexSeen seen;
        seen.running = true;
        seen.moved = app_->flex()->places()->value(1, "id").toString().toStdString();
        seen.places = {{seen.moved, 0, 1.0, 1.0}};
        emit backend_->flexChanged(seen);
        QTest::qWait(20);
        QQuickItem* key = item("mark:" + QString::fromStdString(seen.moved));
        QVERIFY(key && key->property("chosen").toBool());
        const QPoint middle = key->mapToScene(QPointF(key->width() / 2, key->height() / 2)).toPoint();
        const QString label = key->property("label").toString();
        QTest::mousePress(window_, Qt::LeftButton, {}, middle);
        seen.hits = seen.places[0].hits = 1;
        emit backend_->flexChanged(seen);
        QTRY_VERIFY(key->property("label").toString() != label);
        QTest::mouseRelease(window_, Qt::LeftButton, {}, middle);
        QCOMPARE(backend_->marks, std::vector<std::string>{std::string()});
    }

    void a_stage_can_be_looked_back_at_and_left_again()
    {
        put_on("05-isolate");
        app_->look_at(0);
        QCOMPARE(app_->shown_stage(), 0);
        QVERIFY(!app_->follows());
        app_->look_at(3);
        QVERIFY(app_->follows());
    }

    void a_job_is_opened_from_the_first_screen_data()
    {
        QTest::addColumn<QSize>("size");
        QTest::newRow("landscape") << QSize(1280, 800);
        QTest::newRow("portrait") << QSize(800, 1280);
        QTest::newRow("phone") << QSize(412, 915);
    }

    void a_job_is_opened_from_the_first_screen()
    {
        QFETCH(QSize, size);
        window_->resize(size);
        app_->settings()->set_person("");
        app_->show("home");
        QTest::qWait(20);
        const auto all = keys();
        const auto way = std::find_if(all.begin(), all.end(), [](const QQuickItem* key) { return label(key) == "New job"; });
        QVERIFY(way != all.end());
        click(*way);
        QTRY_COMPARE(app_->screen(), QString("new"));
        QTest::qWait(20);
        models::NewJobModel& draft = *app_->draft();
        draft.choose_profile(""); // the last one stays chosen
        const auto press = [&](const char* name) { QVERIFY2(item(name), name); QMetaObject::invokeMethod(item(name), "act"); };
        const auto large = [&] { return item("largeKey"); };
        const double mm = theme::Metrics::instance()->mm();
        for (QQuickItem* key : keys()) {
            const QRectF box = key->mapRectToScene(QRectF(0, 0, key->width(), key->height()));
            QVERIFY2(std::min(box.width(), box.height()) >= 11.55 * mm, qPrintable(label(key)));
            QVERIFY2(box.left() >= -1 && box.right() <= size.width() + 1, qPrintable(label(key)));
        }
        // It says what it waits for, one thing after the other, and does nothing before.
        const std::size_t before = backend_->opened.size();
        QMetaObject::invokeMethod(large(), "act");
        QCOMPARE(backend_->opened.size(), before);
        press("profile:own/bad"); // can't be used: the key does nothing
        QCOMPARE(draft.missing(), QString("the aircraft and unit"));
        press("profile:own/sandgrouse_20");
        QCOMPARE(draft.missing(), QString("the tail"));
        draft.set_tail("Q4-SND");
        press("complaint:heading_error");
        draft.set_complaint("HDG 1 reads 8 degrees low");
        draft.set_leaves("2567");
        QVERIFY(draft.missing().contains("18:40"));
        draft.set_leaves("18:40");
        QCOMPARE(draft.missing(), QString("your initials"));
        app_->settings()->set_person("lk");
        QCOMPARE(draft.missing(), QString());
        press("port:/dev/ttyUSB0");
        QCOMPARE(backend_->port, QString("/dev/ttyUSB0"));
        QMetaObject::invokeMethod(large(), "act");
        QCOMPARE(backend_->opened.size(), before + 1);
        const models::NewJob& job = backend_->opened.back();
        QCOMPARE(job.profile + " " + job.tail + " " + job.complaint_kind + " " + job.power + " " + job.port, std::string("own/sandgrouse_20 Q4-SND heading_error off /dev/ttyUSB0"));
        const std::int64_t now = QDateTime::currentMSecsSinceEpoch();
        QVERIFY(job.departure_utc_ms > now && job.departure_utc_ms <= now + 86'400'000 && job.departure_utc_ms % 86'400'000 == (18 * 60 + 40) * 60'000);
        QCOMPARE(app_->screen(), QString("job"));
        QCOMPARE(draft.tail(), QString());
    }

    void a_write_up_of_the_shops_becomes_a_job_data() { a_job_is_opened_from_the_first_screen_data(); }
    void a_write_up_of_the_shops_becomes_a_job()
    {
        QFETCH(QSize, size);
        window_->resize(size);
        app_->show("home");
        QTest::qWait(20);
        const auto seen = [&](const char* name) {
            QQuickItem* row = item(name);
            const QRectF box = row ? row->mapRectToScene(QRectF(0, 0, row->width(), row->height())) : QRectF();
            return row && box.height() >= 11.55 * theme::Metrics::instance()->mm() && box.left() >= -1 && box.right() <= size.width() + 1;
        };
        QTRY_VERIFY(seen("write_up:shop-1"));
        QVERIFY(seen("word:08-put-right"));
        QCOMPARE(app_->home()->sentence(), QString("One write-up from the shop waits."));
        QMetaObject::invokeMethod(item("write_up:shop-1"), "act");
        QTRY_COMPARE(app_->screen(), QString("new"));
        QTest::qWait(20);
        models::NewJobModel& draft = *app_->draft();
        QCOMPARE(draft.tail() + ", " + draft.complaint(), QString("Q4-WHM, Attitude 1 flag on taxi"));
        QVERIFY(draft.given_words().contains("stand 4"));

        // Another job than that one: nothing of it stays.
        app_->show("home");
        QCOMPARE(draft.tail() + draft.given_words(), QString());
        app_->home()->begin("shop-1");
        draft.choose_profile("own/sandgrouse_20");
        draft.choose_complaint("attitude_flag");
        app_->settings()->set_person("LK");
        QCOMPARE(draft.missing(), QString());
        draft.open();
        QCOMPARE(backend_->opened.back().given, std::string("shop-1"));
        QCOMPARE(app_->screen(), QString("job"));

        app_->show("home");
        QTRY_VERIFY(item("word:08-put-right"));
        QMetaObject::invokeMethod(item("word:08-put-right"), "act");
        QTRY_COMPARE(app_->screen(), QString("job"));
    }

    void the_port_check_names_the_first_gap_data() { a_job_is_opened_from_the_first_screen_data(); }
    void the_port_check_names_the_first_gap()
    {
        QFETCH(QSize, size);
        window_->resize(size);
        put_on("03-as-found");
        app_->port_check()->forget();
        app_->draft()->set_port("");
        app_->show("port");
        QTest::qWait(20);
        const auto key = [&] {
            const auto all = keys();
            const auto at = std::find_if(all.begin(), all.end(), [](const QQuickItem* k) { return label(k) == "Check the port"; });
            return at == all.end() ? nullptr : *at;
        };
        QVERIFY(key() && key()->property("waits").toBool()); // no port yet
        app_->draft()->set_port("/dev/ttyUSB0");
        QTRY_VERIFY(key() && !key()->property("waits").toBool());
        QMetaObject::invokeMethod(key(), "act");
        QTRY_VERIFY(app_->port_check()->done());
        QVERIFY(app_->port_check()->sentence().startsWith("2880 bytes came"));
        QCOMPARE(app_->port_check()->steps()->count(), 10);
        QCOMPARE(app_->port_check()->minutes(), QString("1 min"));
        for (QQuickItem* each : keys()) {
            const QRectF box = each->mapRectToScene(QRectF(0, 0, each->width(), each->height()));
            QVERIFY2(box.left() >= -1 && box.right() <= size.width() + 1, qPrintable(label(each)));
        }
        app_->draft()->set_port("/dev/ttyS0"); // another port: nothing is known of it
        QVERIFY(!app_->port_check()->done());
    }

    void a_time_of_departure_is_the_next_one()
    {
        const std::int64_t noon = 20'000LL * 86'400'000 + 12 * 3'600'000;
        const auto hours = [&](const char* typed) { return double(models::NewJobModel::departure_of(typed, noon) - noon) / 3'600'000; };
        QCOMPARE(hours("13:30"), 1.5);
        QCOMPARE(hours("1330z"), 1.5);
        QCOMPARE(hours("930"), 21.5);
        QCOMPARE(hours("12:00"), 24.0);
        QCOMPARE(models::NewJobModel::departure_of(" ", noon), 0);
        for (const char* wrong : {"24:00", "12:60", "7", "noon", "123456", "-100"}) QCOMPARE(models::NewJobModel::departure_of(wrong, noon), -1);
    }

    void earlier_readings_are_moved_through_and_searched_data()
    {
        QTest::addColumn<QSize>("size");
        QTest::newRow("landscape") << QSize(1280, 800);
        QTest::newRow("portrait") << QSize(800, 1280);
        QTest::newRow("phone") << QSize(412, 915);
    }

    /// Forty minutes from SampleBackend, with silence of 40 s from the thirtieth minute on.
    void earlier_readings_are_moved_through_and_searched()
    {
        QFETCH(QSize, size);
        window_->resize(size);
        put_on("05-isolate");
        app_->show("live");
        QTest::qWait(20);
        const auto all = keys();
        const auto way = std::find_if(all.begin(), all.end(), [](const QQuickItem* key) { return label(key) == "Earlier"; });
        QVERIFY(way != all.end());
        click(*way);
        QTRY_COMPARE(app_->screen(), QString("earlier"));
        QTest::qWait(20);
        models::HistoryModel& history = *app_->history();
        QVERIFY(history.any() && backend_->watched);
        QCOMPARE(history.seen()->lanes.size(), 4u);
        const double mm = theme::Metrics::instance()->mm();
        for (QQuickItem* key : keys()) {
            const QRectF box = key->mapRectToScene(QRectF(0, 0, key->width(), key->height()));
            QVERIFY2(std::min(box.width(), box.height()) >= 11.55 * mm, qPrintable(label(key)));
            QVERIFY2(box.left() >= -1 && box.right() <= size.width() + 1, qPrintable(label(key)));
        }
        const auto press = [&](const char* name) { QMetaObject::invokeMethod(item(name), "act"); };
        const auto width = [&] { return history.seen()->window.to_ns - history.seen()->window.from_ns; };
        if (history.held()) history.hold_or_follow();
        history.set_kind("invalid");
        history.all();
        const auto whole = width();
        press("move:closer");
        press("move:closer");
        QVERIFY(std::abs(width() - whole / 4) < whole / 1000);
        press("hold");
        QVERIFY(history.held());
        press("kind:missing");
        QCOMPARE(history.missing(), QString("Type a number first: seconds"));
        history.set_limit("30");
        press("earlier");
        QVERIFY2(history.answer().contains("for 40.0"), qPrintable(history.answer()));
        press("later");
        QVERIFY(history.seen()->none);
        QVERIFY(history.answer().contains("none later"));
        QCOMPARE(item("answer")->property("text").toString(), history.answer());
        history.set_limit("3,5");
        press("earlier");
        QCOMPARE(history.answer_mark(), QString("attn"));
        press("signal:word.roll");
        QCOMPARE(history.seen()->lanes.back().name, std::string("word.roll"));
        QCOMPARE(history.seen()->lanes.size(), 4u);
        QCOMPARE(history.searched(), QString("word.roll"));
        // Dragging moves the window, and what comes while an answer is awaited is not lost.
        const auto from = history.seen()->window.from_ns;
        history.drag(-0.25);
        QVERIFY(std::abs(from - width() / 4 - history.seen()->window.from_ns) < width() / 100);
        // Locked, nothing of it stays; open again it is asked anew.
        emit backend_->lockChanged(true, {"CW"});
        QVERIFY(!history.any());
        emit backend_->lockChanged(false, {"CW"});
        QTRY_VERIFY(history.any());
        app_->show("live");
        QTRY_VERIFY(!backend_->watched);
    }

    void every_text_can_be_read_data() { sheets_in_all_forms(); }
    void every_text_can_be_read()
    {
        QFETCH(int, at);
        QFETCH(QSize, size);
        QFETCH(double, scale);
        window_->resize(size);
        app_->settings()->set_text_scale(scale);
        put_on(sheets()[at]);
        const QStringList wrong = wrong_texts();
        app_->settings()->set_text_scale(1);
        QVERIFY2(wrong.isEmpty(), qPrintable(wrong.join("; ")));
    }

    void what_leads_at_either_end_of_the_line_can_be_read_data()
    {
        QTest::addColumn<QSize>("size");
        QTest::addColumn<bool>("first");
        for (const auto& [form, size] : {std::pair{"landscape", QSize(1280, 800)}, std::pair{"portrait", QSize(800, 1280)}, std::pair{"phone", QSize(412, 915)}})
            for (bool first : {true, false}) QTest::addRow("%s, %s", form, first ? "first" : "last") << size << first;
    }
    void what_leads_at_either_end_of_the_line_can_be_read()
    {
        QFETCH(QSize, size);
        QFETCH(bool, first);
        window_->resize(size);
        put_on(Sheet{"05-isolate", "05-isolate", {}, {}});
        auto view = app::sample_view("05-isolate");
        for (auto& place : view.isolate.places) place.p = 0.0005;
        (first ? view.isolate.places.front() : view.isolate.places.back()).p = view.isolate.leading_p = 0.996;
        view.isolate.leading = first ? "sensor RMS-1, one axis" : "power supply within the unit";
        emit backend_->viewChanged(view);
        QTest::qWait(30);
        const QStringList wrong = wrong_texts();
        QVERIFY2(wrong.isEmpty(), qPrintable(wrong.join("; ")));
    }

    void hazards_are_read_to_their_end_and_a_waiting_key_says_why_data()
    {
        QTest::addColumn<QString>("name");
        QTest::addColumn<QSize>("size");
        QTest::addColumn<double>("scale");
        for (double scale : {1.0, 1.5, 2.0})
            for (const auto& [form, size] : {std::pair{"landscape", QSize(1280, 800)}, std::pair{"portrait", QSize(800, 1280)}, std::pair{"phone", QSize(412, 915)}, std::pair{"small phone", QSize(360, 740)}})
                for (const QString& name : app::sample_names()) QTest::addRow("%s, %s, %.0f %%", qPrintable(name), form, 100 * scale) << name << size << scale;
    }
    void hazards_are_read_to_their_end_and_a_waiting_key_says_why()
    {
        QFETCH(QString, name);
        QFETCH(QSize, size);
        QFETCH(double, scale);
        window_->resize(size);
        app_->settings()->set_text_scale(scale);
        put_on(Sheet{name, name, {}, {}});
        QTest::qWait(130);
        const auto end_of_scale = qScopeGuard([this] { app_->settings()->set_text_scale(1); });
        const auto text_of = [this](const QString& part) {
            for (QQuickItem* text : texts())
                if (text->property("text").toString().contains(part)) return text;
            return static_cast<QQuickItem*>(nullptr);
        };
        if (item("largeKey")->property("waits").toBool()) {
            QQuickItem* why = text_of(item("largeKey")->property("small").toString());
            QVERIFY(why && item("largeKey")->isAncestorOf(why) && !why->property("truncated").toBool());
        }
        auto* hazards = app_->job()->lists()->hazards();
        const auto before = backend_->submitted.size();
        std::set<int> ended;
        const auto look = [&] {
            for (int i = 0; i < hazards->rowCount(); ++i)
                if (QQuickItem* text = text_of(hazards->value(i, "says").toString()); text && std::abs(in_sight(text, letters(text)).bottom() - letters(text).bottom()) < 3) ended.insert(i);
        };
        look();
        if (int(ended.size()) < hazards->rowCount()) QTRY_COMPARE_WITH_TIMEOUT(label(item("largeKey")), QString("Read its cautions first"), 2000);
        for (int pages = 0; pages < 16 && label(item("largeKey")) == "Read its cautions first"; ++pages) {
            QVERIFY(!item("largeKey")->property("waits").toBool() && !item("largeKey")->property("hold").toBool());
            QMetaObject::invokeMethod(item("largeKey"), "act");
            QTest::qWait(1);
            look();
        }
        for (int turns = 0; turns < 20 && int(ended.size()) < hazards->rowCount(); ++turns) { // a loaded machine shows the last page a moment later
            QTest::qWait(10);
            look();
        }
        QCOMPARE(int(ended.size()), hazards->rowCount());
        QCOMPARE(backend_->submitted.size(), before);
        QTRY_COMPARE(label(item("largeKey")), app_->job()->key_large());
        auto* cautions = app_->job()->lists()->cautions();
        for (int i = 0; app_->job()->stage() == 0 && i < cautions->rowCount(); ++i) QVERIFY2(text_of(cautions->value(i, "says").toString()), qPrintable(cautions->value(i, "says").toString()));
    }

    // What a screen reader says.

    void every_row_and_key_says_what_it_shows_data()
    {
        QTest::addColumn<int>("at");
        QTest::addColumn<QSize>("size");
        const QList<Sheet> all = sheets();
        for (const auto& [form, size] : {std::pair{"landscape", QSize(1280, 800)}, std::pair{"portrait", QSize(800, 1280)}, std::pair{"phone", QSize(412, 915)}})
            for (int i = 0; i < all.size(); ++i) QTest::addRow("%s, %s", qPrintable(all[i].name), form) << i << size;
    }
    void every_row_and_key_says_what_it_shows()
    {
        QFETCH(int, at);
        QFETCH(QSize, size);
        window_->resize(size);
        put_on(sheets()[at]);
        QStringList wrong;
        for (QQuickItem* text : texts()) {
            const QString shown = text->property("text").toString();
            bool told = !name_of(text).isEmpty();
            for (QQuickItem* up = text->parentItem(); up && !told; up = up->parentItem()) told = name_of(up).contains(plain(shown));
            if (!told) wrong.append("nothing tells " + said(text));
            if (QQuickItem* row = row_of(text); row && !says_all(row, shown)) wrong.append(name_of(row) + " does not say " + said(text));
        }
        for (QQuickItem* mark : marks()) {
            const QString state = mark->property("word").toString();
            bool told = mark->property("name").toString() == "info";
            for (QQuickItem* up = mark; up && !told; up = up->parentItem()) {
                const QString name = name_of(up), word = plain(up->property("word").toString());
                told = name.contains(plain(state)) || (!word.isEmpty() && name.contains(word)) || up->inherits("QQuickFlickable");
                if (up->inherits("QQuickFlickable")) wrong.append("no words for the mark " + mark->property("name").toString());
            }
        }
        for (QQuickItem* key : keys())
            if (name_of(key).isEmpty()) wrong.append("a key without a name");
        QVERIFY2(wrong.isEmpty(), qPrintable(wrong.join("; ")));
    }

    void lights_and_text_sizes_load_without_a_warning()
    {
        for (double scale : {1.5, 2.0, 1.0})
            for (int light : {1, 2, 0}) {
                app_->settings()->set_text_scale(scale);
                app_->settings()->set_light(light);
                for (const QString& name : app::sample_names()) put_on(name);
            }
        app_->settings()->set_left_hand(true);
        put_on("04-make-ready");
        app_->settings()->set_left_hand(false);
        for (const char* sheet : {"open", "live", "earlier", "port", "other", "hands", "note", "journal", "entry", "stages", "resume", "settings", "help", "new", "home"}) {
            app_->show(sheet);
            QTest::qWait(1);
            QVERIFY2(keys().size() >= 3, sheet);
        }
    }
};

CHOCKSIDE_TEST(TestScreens)
#include "tst_screens.moc"

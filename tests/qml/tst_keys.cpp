// Keys under touch and keyboard: WCAG 2.2 SC 2.5.2 (act on release, slide off cancels) and 2.1.1 (all by keyboard).

#include <tests/support/test_main.h>

#include <QQmlComponent>
#include <QQmlEngine>
#include <QQuickItem>
#include <QQuickView>
#include <QSignalSpy>

class TestKeys : public QObject {
    Q_OBJECT
    std::unique_ptr<QQuickView> view_;
    std::unique_ptr<QPointingDevice> finger_{QTest::createTouchDevice()};
    QQuickItem* key_ = nullptr;

    void show(const QByteArray& properties, const QByteArray& kind = "SecondaryKey")
    {
        view_ = std::make_unique<QQuickView>();
        view_->engine()->addImportPath("qrc:/qt/qml");
        QQmlComponent component(view_->engine());
        component.setData("import QtQuick\nimport Chockside.Parts\nItem { width: 400; height: 400; " + kind + " { objectName: 'key'; x: 100; y: 100; width: 120; height: 120; word: 'Photo'; " + properties + " } }", QUrl("qrc:/test.qml"));
        auto* root = qobject_cast<QQuickItem*>(component.create());
        QVERIFY2(root, qPrintable(component.errorString()));
        view_->setContent(QUrl("qrc:/test.qml"), nullptr, root);
        view_->resize(400, 400);
        view_->show();
        QVERIFY(QTest::qWaitForWindowExposed(view_.get()));
        key_ = root->findChild<QQuickItem*>("key");
        QVERIFY(key_);
    }

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".?")); }

    void acts_on_release_inside()
    {
        show({});
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        QVERIFY(key_->property("down").toBool());
        QCOMPARE(acted.count(), 0);
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QCOMPARE(acted.count(), 1);
    }

    void sliding_off_cancels()
    {
        show({});
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        QTest::touchEvent(view_.get(), finger_.get()).move(0, QPoint(260, 150));
        QTest::touchEvent(view_.get(), finger_.get()).move(0, QPoint(350, 350));
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(350, 350));
        QCOMPARE(acted.count(), 0);
        QVERIFY(!key_->property("down").toBool());
    }

    void a_hold_key_wants_its_time()
    {
        show("hold: true; holdMs: 300");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::mousePress(view_.get(), Qt::LeftButton, {}, QPoint(150, 150));
        QTest::qWait(80);
        QTest::mouseRelease(view_.get(), Qt::LeftButton, {}, QPoint(150, 150));
        QTest::qWait(400);
        QCOMPARE(acted.count(), 0);
        QCOMPARE(key_->property("progress").toDouble(), 0.0);
        QTest::mousePress(view_.get(), Qt::LeftButton, {}, QPoint(150, 150));
        QTRY_COMPARE_WITH_TIMEOUT(acted.count(), 1, 3000);
        QTest::mouseRelease(view_.get(), Qt::LeftButton, {}, QPoint(150, 150));
        QCOMPARE(acted.count(), 1);
    }

    void a_finger_that_rests_still_acts_when_it_lets_go()
    {
        show({});
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        QTest::qWait(1200); // longer than a long press
        QCOMPARE(acted.count(), 0);
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QCOMPARE(acted.count(), 1);
    }

    void letting_go_of_a_held_key_does_not_answer_the_next_question()
    {
        show("hold: true; holdMs: 300; onActed: { hold = false; word = 'Next' }");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        QTRY_COMPARE_WITH_TIMEOUT(acted.count(), 1, 3000);
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QTest::qWait(50);
        QCOMPARE(acted.count(), 1);
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QCOMPARE(acted.count(), 2);
    }

    void a_key_that_asks_something_else_meanwhile_does_nothing()
    {
        show("focus: true");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        key_->setProperty("word", "Connect P9");
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QCOMPARE(acted.count(), 0);
        key_->setProperty("hold", true);
        key_->forceActiveFocus();
        QTest::keyClick(view_.get(), Qt::Key_Space);
        key_->setProperty("word", "Pull REF 1");
        QTest::keyClick(view_.get(), Qt::Key_Space); // arms anew
        QCOMPARE(acted.count(), 0);
    }

    void a_figure_that_runs_in_its_label_does_not_take_the_touch_away()
    {
        show("focus: true; property int count: 3; label: word + ', ' + count; asks: word");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
        key_->setProperty("count", 4);
        QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        QCOMPARE(acted.count(), 1);
        key_->setProperty("hold", true);
        key_->forceActiveFocus();
        QTest::keyClick(view_.get(), Qt::Key_Space);
        key_->setProperty("count", 5);
        QTest::keyClick(view_.get(), Qt::Key_Space);
        QCOMPARE(acted.count(), 2);
    }

    void the_second_tap_of_a_double_tap_answers_nothing()
    {
        show("focus: true; about: word; onActed: word = 'See people and carts clear'", "LargeKey");
        if (QTest::currentTestFailed()) return;
        QTRY_VERIFY(!key_->property("fresh").toBool());
        QSignalSpy acted(key_, SIGNAL(acted()));
        const auto tap = [this] {
            QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
            QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        };
        tap();
        QTest::qWait(120); // a hand's double tap
        tap();
        key_->forceActiveFocus();
        QTest::keyClick(view_.get(), Qt::Key_Return);
        QCOMPARE(acted.count(), 1);
        QTRY_VERIFY(!key_->property("fresh").toBool());
        tap();
        QCOMPARE(acted.count(), 2);
    }

    void the_hold_is_one_second_by_itself()
    {
        show("hold: true");
        if (QTest::currentTestFailed()) return;
        QCOMPARE(key_->property("holdMs").toInt(), 1000);
    }

    void keyboard_arms_then_confirms()
    {
        show("hold: true; focus: true");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        key_->forceActiveFocus();
        QTest::keyClick(view_.get(), Qt::Key_Space);
        QVERIFY(key_->property("armed").toBool());
        QCOMPARE(acted.count(), 0);
        QTest::keyClick(view_.get(), Qt::Key_Escape);
        QVERIFY(!key_->property("armed").toBool());
        QTest::keyClick(view_.get(), Qt::Key_Return);
        QTest::keyClick(view_.get(), Qt::Key_Return);
        QCOMPARE(acted.count(), 1);
    }

    void a_waiting_key_does_nothing_and_says_why()
    {
        const auto said = [this] {
            const auto* reason = key_->findChild<QQuickItem*>("reason");
            return reason && reason->isVisible() ? reason->property("text").toString() : QString();
        };
        const auto tap = [this] {
            QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
            QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
        };
        show("waits: true; why: 'still turning'");
        if (QTest::currentTestFailed()) return;
        QSignalSpy acted(key_, SIGNAL(acted()));
        QCOMPARE(said(), QString());
        tap();
        QTRY_COMPARE(said(), QString("still turning"));
        QVERIFY(!key_->property("down").toBool());
        QTRY_COMPARE_WITH_TIMEOUT(said(), QString(), 6000);
        key_->forceActiveFocus();
        QTest::keyClick(view_.get(), Qt::Key_Space);
        QTRY_COMPARE(said(), QString("still turning"));
        key_->setProperty("waits", false); // the reason is gone
        QTRY_COMPARE(said(), QString());
        QCOMPARE(acted.count(), 0);
        tap();
        QCOMPARE(acted.count(), 1);
        QCOMPARE(said(), QString());
    }

    void a_finger_that_came_down_on_a_waiting_key_does_not_act()
    {
        for (const char* hold : {"", "hold: true; holdMs: 50; "}) {
            show(QByteArray(hold) + "waits: true; why: 'still turning'");
            if (QTest::currentTestFailed()) return;
            QSignalSpy acted(key_, SIGNAL(acted()));
            QTest::touchEvent(view_.get(), finger_.get()).press(0, QPoint(150, 150));
            key_->setProperty("waits", false);
            QTest::qWait(100);
            QTest::touchEvent(view_.get(), finger_.get()).release(0, QPoint(150, 150));
            QCOMPARE(acted.count(), 0);
        }
    }
};

CHOCKSIDE_TEST(TestKeys)
#include "tst_keys.moc"

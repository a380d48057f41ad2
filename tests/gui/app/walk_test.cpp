// SPDX-License-Identifier: MIT
// Keys and edits at random over the real window, from a fixed seed: nothing crashes, nothing hangs, no text is lost. SPANWRIGHT_WALK_STEPS makes it
// longer, SPANWRIGHT_WALK_SEED another one.
#include <QApplication>
#include <QDialog>
#include <QElapsedTimer>
#include <QKeyEvent>
#include <QMenu>
#include <QUndoStack>

#include <random>

#include "engine/base/text.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

namespace {

struct Stroke {
    Qt::Key key;
    Qt::KeyboardModifiers with = Qt::NoModifier;
};

/// What a person presses in the window; nothing that leaves it, opens a file or asks the system for one.
const std::vector<Stroke>& strokes() {
    constexpr auto ctrl = Qt::ControlModifier, shift = Qt::ShiftModifier, alt = Qt::AltModifier;
    static const std::vector<Stroke> all = {{Qt::Key_Up},
                                            {Qt::Key_Down},
                                            {Qt::Key_Down},
                                            {Qt::Key_Left},
                                            {Qt::Key_Right},
                                            {Qt::Key_PageUp},
                                            {Qt::Key_PageDown},
                                            {Qt::Key_Home},
                                            {Qt::Key_End},
                                            {Qt::Key_Return},
                                            {Qt::Key_Return},
                                            {Qt::Key_F2},
                                            {Qt::Key_Escape},
                                            {Qt::Key_Escape},
                                            {Qt::Key_Tab},
                                            {Qt::Key_Backtab, shift},
                                            {Qt::Key_Space},
                                            {Qt::Key_Delete},
                                            {Qt::Key_Backspace},
                                            {Qt::Key_Insert},
                                            {Qt::Key_F2, shift},
                                            {Qt::Key_F7},
                                            {Qt::Key_F8},
                                            {Qt::Key_F8, shift},
                                            {Qt::Key_F9},
                                            {Qt::Key_F9, shift},
                                            {Qt::Key_F9, ctrl},
                                            {Qt::Key_Left, alt},
                                            {Qt::Key_Right, alt},
                                            {Qt::Key_D, ctrl},
                                            {Qt::Key_Z, ctrl},
                                            {Qt::Key_Z, ctrl},
                                            {Qt::Key_Z, ctrl | shift},
                                            {Qt::Key_C, ctrl},
                                            {Qt::Key_V, ctrl},
                                            {Qt::Key_X, ctrl},
                                            {Qt::Key_R, ctrl | shift},
                                            {Qt::Key_L, ctrl},
                                            {Qt::Key_L, ctrl | shift},
                                            {Qt::Key_Left, ctrl | shift},
                                            {Qt::Key_Right, ctrl | shift},
                                            {Qt::Key_PageDown, ctrl},
                                            {Qt::Key_PageUp, ctrl},
                                            {Qt::Key_E, ctrl},
                                            {Qt::Key_Space, ctrl},
                                            {Qt::Key_F, ctrl},
                                            {Qt::Key_T, ctrl},
                                            {Qt::Key_M, ctrl},
                                            {Qt::Key_I, ctrl},
                                            {Qt::Key_1, ctrl},
                                            {Qt::Key_2, ctrl},
                                            {Qt::Key_3, ctrl},
                                            {Qt::Key_4, ctrl},
                                            {Qt::Key_5, ctrl},
                                            {Qt::Key_1, ctrl},
                                            {Qt::Key_Plus, ctrl},
                                            {Qt::Key_Minus, ctrl},
                                            {Qt::Key_0, ctrl},
                                            {Qt::Key_S, ctrl},
                                            {Qt::Key_Delete, ctrl},
                                            {Qt::Key_Up, ctrl | shift},
                                            {Qt::Key_Down, ctrl | shift},
                                            {Qt::Key_A, ctrl}};
    return all;
}

/// What a person types, and what nobody should.
QString words(std::mt19937& random) {
    static const char* const kAll[] = {"2.4 m",
                                       "14 ft 6 in",
                                       "165 in",
                                       "3,6 m",
                                       "1,500",
                                       "1.2",
                                       "0",
                                       "-5 m",
                                       "1e400 m",
                                       "1e-320",
                                       "S1.L",
                                       "S2.R*2",
                                       "soft",
                                       "hard",
                                       "nothing",
                                       "=",
                                       "2*(",
                                       ")",
                                       "with L = 3 m",
                                       "member X1 = shelf",
                                       "part",
                                       "\"",
                                       "#",
                                       "--",
                                       " -- ",
                                       "\xCF\x83",
                                       "\xF0\x9F\xAA\xB5",
                                       "q_all",
                                       "kg/m^2",
                                       "1/0",
                                       "tick S1.L by AB",
                                       "table",
                                       "end"};
    if (random() % 40 == 0) return QString(800, QLatin1Char('9'));
    return QString::fromUtf8(kAll[random() % std::size(kAll)]);
}

unsigned numberOf(const char* variable, unsigned usual) {
    bool ok = false;
    const unsigned n = qEnvironmentVariable(variable).toUInt(&ok);
    return ok ? n : usual;
}

} // namespace

class WalkTest : public QObject {
    Q_OBJECT

private:
    static void walk(unsigned seed, unsigned steps) {
        LibraryDesk d;
        models::JobSession& session = d.window->session();
        std::mt19937 random(seed);
        // Whatever asks is answered, half the time by yes; from numbers of its own, so that how often it looks changes no step.
        std::mt19937 yesOrNo(seed + 1);
        QTimer answers;
        connect(&answers, &QTimer::timeout, &answers, [&yesOrNo] {
            if (QWidget* popup = QApplication::activePopupWidget()) popup->close();
            if (auto* dialog = qobject_cast<QDialog*>(QApplication::activeModalWidget())) {
                if (yesOrNo() % 2 == 0)
                    dialog->accept();
                else
                    dialog->reject();
            }
        });
        answers.start(5);
        QElapsedTimer clock;
        for (unsigned i = 0; i < steps; ++i) {
            QWidget* to = QApplication::focusWidget() != nullptr ? QApplication::focusWidget() : d.window.get();
            clock.start();
            QString done;
            if (random() % 4 == 0) {
                const QString typed = words(random);
                done = QStringLiteral("typed ") + typed.left(30);
                for (const QChar c : typed) {
                    QWidget* now = QApplication::focusWidget() != nullptr ? QApplication::focusWidget() : d.window.get();
                    // As it comes from a keyboard that has the letter.
                    if (c.unicode() < 128) {
                        QTest::keyClick(now, c.toLatin1());
                    } else {
                        QKeyEvent press(QEvent::KeyPress, 0, Qt::NoModifier, QString(c));
                        QApplication::sendEvent(now, &press);
                    }
                }
            } else {
                const Stroke& s = strokes()[random() % strokes().size()];
                done = QKeySequence(QKeyCombination(s.with, s.key)).toString();
                QTest::keyClick(to, s.key, s.with);
            }
            if (random() % 8 == 0) QTest::qWait(1);
            const QString where = QStringLiteral("seed %1, step %2, %3").arg(seed).arg(i).arg(done);
            QVERIFY2(clock.elapsed() < 60'000, qPrintable(where));
            // What the text shows is what the job says, whenever nothing waits to be told.
            if (i % 50 != 49) continue;
            session.finish();
            if (const auto text = session.text(d.job().toStdString()); text && !session.isPending()) QVERIFY2(base::isUtf8(*text), qPrintable(where));
        }
        // Saved text is the text shown, whatever was half typed: it is told before it is saved.
        QVERIFY(!session.save());
        session.finish();
        const auto onDisk = [&](const QString& path) {
            QFile file(path);
            return file.open(QIODevice::ReadOnly) ? file.readAll().toStdString() : std::string();
        };
        QCOMPARE(QString::fromStdString(onDisk(d.job())), d.text());
        QVERIFY(!session.isModified());
        QCOMPARE(onDisk(d.dir.filePath(QStringLiteral("lib/shelf.spansheet"))), std::string(shelf::kSheet)); // ready sheets are nobody's to change
        // Undo of all is the first text, redo of all the last.
        const QString last = d.text();
        const int count = session.undoStack().index();
        while (session.undoStack().canUndo()) session.undoStack().undo();
        session.finish();
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
        while (session.undoStack().index() < count) session.undoStack().redo();
        session.finish();
        QCOMPARE(d.text(), last);
        // And the window shows what a job opened from that text would.
        models::JobSession fresh(d.library(), std::make_unique<io::Disk>());
        fresh.open(d.job());
        QCOMPARE(fresh.job().memberCount(), session.job().memberCount());
        for (std::size_t m = 0; m < fresh.job().memberCount(); ++m) {
            QCOMPARE(fresh.job().member(m).mark, session.job().member(m).mark);
            QVERIFY2(fresh.job().member(m).verdict == session.job().member(m).verdict, fresh.job().member(m).mark.c_str());
        }
        QVERIFY(!session.save());
        answers.stop();
    }

private Q_SLOTS:
    void keysAtRandomLoseNoText_data() {
        QTest::addColumn<unsigned>("seed");
        const unsigned first = numberOf("SPANWRIGHT_WALK_SEED", 1);
        for (unsigned s = first; s < first + 3; ++s) QTest::newRow(qPrintable(QStringLiteral("seed %1").arg(s))) << s;
    }
    void keysAtRandomLoseNoText() {
        QFETCH(unsigned, seed);
        walk(seed, numberOf("SPANWRIGHT_WALK_STEPS", 120));
    }
};

SPANWRIGHT_QT_TEST(WalkTest);
#include "walk_test.moc"

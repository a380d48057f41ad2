// SPDX-License-Identifier: MIT
// Schedule, cutting and cost beside the grid, as a person uses them.
#include <QAccessible>
#include <QApplication>
#include <QClipboard>
#include <QDir>
#include <QDockWidget>
#include <QFile>
#include <QHeaderView>
#include <QLabel>
#include <QSignalSpy>
#include <QSpinBox>
#include <QTabBar>

#include <string_view>

#include "gui/ink/palette.h"
#include "gui/views/cost_picture.h"
#include "gui/views/cost_view.h"
#include "gui/views/cutting_view.h"
#include "gui/views/row_table.h"
#include "gui/views/schedule_view.h"
#include "gui/views/workshop_head.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

namespace {

const std::string kRail = R"(sheet   shelf
title   Rail
part    All
given   b = 47 mm
given   h = 195 mm
ask     L [m]
check   short: L <= 5 m
schedule section = b by h
schedule span = L
part    Pieces
piece   rail = 2 off, b by h by L from C24
piece   cleat = 1 off, b by h by 300 mm from C24, glue b*h
)";

const std::string kJob = R"(job     Rails
date    2026-05-04
currency EUR
stock   s = C24, 47 mm by 195 mm by 4.8 m, 10 EUR +- 1 EUR on 2026-05-01
labour  glue = 20 min/m^2, 30 EUR/h on 2026-05-01
saw     kerf 3 mm
member  R1 = shelf              -- along the wall
        off   3
        with  L = 2.3 m
member  R2 = shelf
        with  L = 1.2 m
)";

/// The window on the job of rails with the three views open, and the first plan made.
struct ShopDesk : LibraryDesk {
    ShopDesk() : LibraryDesk(kJob, kRail) {
        window->live().setPatience(std::chrono::milliseconds(1));
        run("workshop");
        settle();
    }
    models::LiveWorkshop& live() { return window->live(); }
    [[nodiscard]] bool rests() { return live().workshop() && !live().isOutOfDate() && live().phase() == models::LiveWorkshop::Phase::Rests; }
    void settle() { QTRY_VERIFY_WITH_TIMEOUT(rests(), 60'000); }
    void front(const char* name) {
        window->findChild<QDockWidget*>(QLatin1String(name))->raise();
        QTRY_VERIFY(window->findChild<QDockWidget*>(QLatin1String(name))->widget()->isVisible());
    }
    [[nodiscard]] std::string currentMember() { return window->session().job().member(window->gridView().currentCell()->member).mark; }
    [[nodiscard]] std::string currentRow() { return window->session().quantity(*window->gridView().currentCell()).name; }
};

} // namespace

class DeskWorkshopTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void theKeyOpensTheThreeAndTheySayHowItStands() {
        ShopDesk d;
        QVERIFY(d.window->cutting().isVisible());
        QVERIFY(QApplication::focusWidget() == &d.window->cutting().canvas());
        const shop::Workshop& w = *d.live().workshop();
        // Two rails of 2.3 m to a board, six of them; two of 1.2 m and four cleats beside them.
        QCOMPARE(w.plan.groups.size(), std::size_t(1));
        QVERIFY(d.window->cutting().head().words().contains(QStringLiteral("%1 boards").arg(w.plan.groups[0].bought)));
        QCOMPARE(d.window->cutting().canvas().drawings(), w.plan.groups[0].boards.size());

        d.front("schedule");
        views::RowTable& table = d.window->schedule().table();
        QCOMPARE(table.rowCount(), 2);
        using S = views::ScheduleView;
        QCOMPARE(table.item(0, S::Mark)->text(), QStringLiteral("R1"));
        QCOMPARE(table.item(0, S::Purpose)->text(), QStringLiteral("along the wall"));
        QCOMPARE(table.item(0, S::Count)->text(), QStringLiteral("3"));
        QVERIFY(table.item(0, S::Section)->text().contains(QStringLiteral("195")));
        QVERIFY(table.item(0, S::Span)->text().contains(QStringLiteral("2.3")));
        QVERIFY(table.item(0, S::Governing)->text().startsWith(QStringLiteral("short 0.46")));
        QCOMPARE(table.item(0, S::Verdict)->text(), QStringLiteral("OK"));
        QCOMPARE(table.item(0, S::MassOfOne)->text(), QStringLiteral("not known")); // C24 has no density here
        QCOMPARE(table.item(0, S::Cost)->text(),
                 models::fromUtf8(shop::showMoney(w.bill.members[0].cents, w.bill.members[0].low, w.bill.members[0].high, "EUR")));

        d.front("cost");
        views::RowTable& bill = d.window->cost().table();
        QCOMPARE(bill.rowCount(), static_cast<int>(w.bill.lines.size()) + 1);
        QVERIFY(d.window->cost().head().words().contains(models::fromUtf8(shop::showRange(w.bill.low, w.bill.high, "EUR"))));
        QCOMPARE(d.window->cost().picture().rows(), std::size_t(2));

        d.run("workshop");
        QVERIFY(!d.window->cost().isVisible());
        QVERIFY(!d.live().isWanted());
    }

    void theTextBesideThemCanBeRead() {
        ShopDesk d;
        d.front("cutting");
        d.run("toText");
        auto* text = d.window->findChild<QDockWidget*>(QStringLiteral("text"));
        QTRY_VERIFY2(text->width() > 300, qPrintable(QString::number(text->width())));
        QVERIFY(d.window->findChild<QDockWidget*>(QStringLiteral("cutting"))->width() > 300);
        // The other way round.
        text->hide();
        d.run("workshop");
        d.run("toText");
        d.run("workshop");
        QTRY_VERIFY2(text->width() > 300, qPrintable(QString::number(text->width())));
    }

    void eachViewSaysForWhomNothingIsToBeBought() {
        ShopDesk d;
        const auto notice = QStringLiteral("R2 [ FAILS ]: nothing is to be bought");
        QVERIFY(!d.window->cutting().head().words().contains(QStringLiteral("nothing is to be bought")));
        models::JobSession& session = d.window->session();
        QVERIFY(!session.setValue(*session.find("R2", "L"), QStringLiteral("5.2 m")));
        d.settle();
        QVERIFY2(d.window->cutting().head().words().startsWith(notice), qPrintable(d.window->cutting().head().words()));
        d.front("schedule");
        QVERIFY(d.window->schedule().head().words().startsWith(notice));
        d.front("cost");
        QVERIFY(d.window->cost().head().words().startsWith(notice));
        // Of many the first are named, all of them under the pointer.
        for (int i = 1; i <= 8; ++i)
            QVERIFY(!session.edit(QStringLiteral("another"), [i](job::Job& job) { return job.duplicateMember("R2", "F" + std::to_string(i)); }));
        d.settle();
        const QString words = d.window->cost().head().words();
        QVERIFY2(words.contains(QStringLiteral(" [ FAILS ] and 3 more: nothing is to be bought")), qPrintable(words));
        QCOMPARE(words.count(QStringLiteral("[ FAILS ]")), 6);
        QCOMPARE(d.window->cost().head().findChild<QLabel*>()->toolTip().count(QStringLiteral("[ FAILS ]")), 9);
    }

    void theNextPlanGoesOnWithTheCopyOfTheLast() {
        ShopDesk d;
        QVERIFY(!d.live().workedOut()); // the first one is opened
        models::JobSession& session = d.window->session();
        // What the bill and the plan come to in a copy that nobody has edited.
        const auto fresh = [&] {
            const models::JobCopy copy = session.otherCopy()(std::make_shared<models::LoadState>());
            return shop::work(*copy.job, {});
        };
        const auto same = [&] {
            const shop::Workshop now = fresh();
            const shop::Workshop& live = *d.live().workshop();
            QCOMPARE(live.bill.low, now.bill.low);
            QCOMPARE(live.bill.high, now.bill.high);
            QCOMPARE(live.bill.lines.size(), now.bill.lines.size());
            QCOMPARE(live.plan.groups.size(), now.plan.groups.size());
            for (std::size_t g = 0; g < now.plan.groups.size(); ++g) QCOMPARE(live.plan.groups[g].bought, now.plan.groups[g].bought);
        };
        same();
        const auto settled = [&] {
            QTRY_VERIFY_WITH_TIMEOUT(d.rests(), 60'000);
            same();
            QVERIFY(d.live().workedOut().has_value());
        };
        QVERIFY(!session.setValue(*session.find("R1", "L"), QStringLiteral("2.2 m")));
        settled();
        const std::size_t all = session.job().sheet(0).quantities.size() * 2;
        QVERIFY2(*d.live().workedOut() > 0 && *d.live().workedOut() < all, qPrintable(QString::number(*d.live().workedOut())));
        d.go("R1", "L");
        d.run("duplicateMember");
        settled();
        session.undoStack().undo();
        settled();
        QVERIFY(!session.save());
        QVERIFY(!session.setValue(*session.find("R2", "L"), QStringLiteral("1.9 m")));
        settled();
        // Given up in the middle: the next one goes on all the same.
        for (int i = 0; i < 6; ++i) {
            QVERIFY(!session.setValue(*session.find("R2", "L"), QStringLiteral("1.%1 m").arg(i + 2)));
            QTest::qWait(3 * i);
        }
        settled();
        // Read anew by another name, it is another job: opened.
        QVERIFY(!session.save());
        QVERIFY(d.window->openFile(d.job()));
        d.settle();
        same();
        QVERIFY(!d.live().workedOut());
    }

    void otherPaperAndLargerLettersAreTakenOn() {
        ShopDesk d;
        for (const char* name : {"schedule", "cost"}) {
            d.front(name);
            d.window->setTheme(app::Theme::Dark);
            d.window->setLetters(200);
            views::RowTable& table = name == std::string_view("cost") ? d.window->cost().table() : d.window->schedule().table();
            const ink::Palette& dark = ink::paletteOf(QApplication::palette());
            QTRY_COMPARE(table.item(0, 0)->foreground().color(), dark.pencil);
            for (int c = 0; c < table.columnCount(); ++c) {
                if (table.isColumnHidden(c)) continue;
                const int needed = table.horizontalHeader()->fontMetrics().horizontalAdvance(table.horizontalHeaderItem(c)->text());
                QTRY_VERIFY2(table.columnWidth(c) >= needed, qPrintable(table.horizontalHeaderItem(c)->text()));
            }
            d.window->setLetters(100);
            d.window->setTheme(app::Theme::Light);
            QTRY_COMPARE(table.item(0, 0)->foreground().color(), ink::paletteOf(QApplication::palette()).pencil);
        }
    }

    void anEditMakesItOutOfDateAndThenAnew() {
        ShopDesk d;
        const std::int64_t before = d.live().workshop()->plan.groups[0].bought;
        d.live().setPatience(std::chrono::milliseconds(100'000)); // so that what is shown meanwhile can be looked at
        QVERIFY(!d.window->session().setValue(*d.window->session().find("R1", "L"), QStringLiteral("4.7 m")));
        d.window->session().finish();
        QVERIFY(d.live().isOutOfDate());
        QCOMPARE(d.window->cutting().head().words(), QStringLiteral("Out of date."));
        d.front("schedule");
        // A verdict of before the edit is none that holds, and a cost is not said to be.
        QCOMPARE(d.window->schedule().table().item(0, views::ScheduleView::Verdict)->text(), QStringLiteral("was OK"));
        QVERIFY(!d.window->exportDrawings(d.dir.path()));
        QVERIFY(QDir(d.dir.path()).entryList({QStringLiteral("*.svg")}).isEmpty());
        d.live().setPatience(std::chrono::milliseconds(1));
        d.live().again();
        d.settle();
        QCOMPARE(d.window->schedule().table().item(0, views::ScheduleView::Verdict)->text(), QStringLiteral("OK"));
        QVERIFY(d.live().workshop()->plan.groups[0].bought > before);
        // Undone, it is planned for what was there before.
        d.window->session().undoStack().undo();
        d.settle();
        QCOMPARE(d.live().workshop()->plan.groups[0].bought, before);
    }

    void manyEditsInARowEndWithTheLast() {
        ShopDesk d;
        for (int i = 0; i < 12; ++i) {
            QVERIFY(!d.window->session().setValue(*d.window->session().find("R1", "L"), QStringLiteral("%1 m").arg(1.5 + 0.25 * i)));
            QTest::qWait(i % 3 * 7);
        }
        d.window->session().finish();
        d.settle();
        for (const shop::Part& p : d.live().workshop()->parts.parts)
            if (p.mark == "R1" && p.view.name == "rail") QCOMPARE(p.view.length, 4.25);
    }

    void aPieceLeadsToItsRowAndAMemberIsMarked() {
        ShopDesk d;
        views::CuttingCanvas& canvas = d.window->cutting().canvas();
        std::size_t cleat = canvas.pieceCount();
        for (std::size_t i = 0; i < canvas.pieceCount(); ++i)
            if (canvas.piece(i).mark == "R2" && canvas.piece(i).name == "cleat") cleat = i;
        QVERIFY(cleat < canvas.pieceCount());
        QTest::mouseClick(&canvas, Qt::LeftButton, Qt::NoModifier, canvas.middleOf(cleat));
        QCOMPARE(d.currentMember(), std::string("R2"));
        QCOMPARE(d.currentRow(), std::string("cleat"));
        QVERIFY(d.shown("R2", "cleat").startsWith(QStringLiteral("1 off, 47 x 195 x 300")));
        // Two rails and a cleat are marked; then those of the other.
        std::size_t own = 0;
        for (std::size_t i = 0; i < canvas.pieceCount(); ++i) own += canvas.piece(i).mark == "R2" ? 1 : 0;
        QCOMPARE(canvas.marked(), own);
        d.go("R1", "L");
        QVERIFY(canvas.marked() > own);
        // By key: along the pieces, and there.
        canvas.setFocus();
        QTest::keyClick(&canvas, Qt::Key_Home);
        QCOMPARE(canvas.current(), std::optional<std::size_t>(0));
        QTest::keyClick(&canvas, Qt::Key_Right);
        QCOMPARE(canvas.current(), std::optional<std::size_t>(1));
        QVERIFY(canvas.accessibleDescription().startsWith(models::fromUtf8(canvas.piece(1).mark)));
        QTest::keyClick(&canvas, Qt::Key_Return);
        QCOMPARE(d.currentRow(), canvas.piece(1).name);
    }

    void rowsAndLinesLeadToMembers() {
        ShopDesk d;
        d.go("R1", "L");
        d.front("schedule");
        views::RowTable& table = d.window->schedule().table();
        QTest::mouseClick(table.viewport(), Qt::LeftButton, Qt::NoModifier, table.visualItemRect(table.item(1, 0)).center());
        QCOMPARE(d.currentMember(), std::string("R2"));
        d.go("R1", "L");
        QCOMPARE(table.currentRow(), 0);
        d.front("cost");
        views::RowTable& bill = d.window->cost().table();
        const shop::Bill& b = d.live().workshop()->bill;
        int glue = -1;
        for (std::size_t i = 0; i < b.lines.size(); ++i)
            if (b.lines[i].item == "glue") glue = static_cast<int>(i) + 1;
        QVERIFY(glue > 0);
        QTest::mouseClick(bill.viewport(), Qt::LeftButton, Qt::NoModifier, bill.visualItemRect(bill.item(glue, 1)).center());
        QCOMPARE(d.currentRow(), std::string("cleat")); // the piece that is glued, of the member that is looked at
        QCOMPARE(d.currentMember(), std::string("R1"));
        // The picture shows whose share of that line is what.
        QVERIFY(d.window->cost().picture().accessibleName().contains(QStringLiteral("glue")));
        views::CostPicture& picture = d.window->cost().picture();
        QCOMPARE(picture.markOf(1), std::string("R2"));
        QTest::mouseClick(&picture, Qt::LeftButton, Qt::NoModifier, picture.middleOf(1));
        QCOMPARE(d.currentMember(), std::string("R2"));
    }

    void exportsAreOfTheJobAsItStands() {
        ShopDesk d;
        QVERIFY(d.window->exportDrawings(d.dir.path()));
        const auto kept = QDir(d.dir.path()).entryList({QStringLiteral("board-*.svg")});
        QCOMPARE(static_cast<std::size_t>(kept.size()), d.window->cutting().canvas().drawings());
        QFile first(d.dir.filePath(kept.front()));
        QVERIFY(first.open(QIODevice::ReadOnly));
        QVERIFY(first.readAll().contains("<svg"));
        d.front("schedule");
        d.window->schedule().table().setFocus();
        d.window->schedule().table().selectRow(1);
        QTest::keyClick(&d.window->schedule().table(), Qt::Key_C, Qt::ControlModifier);
        const QStringList lines = QApplication::clipboard()->text().split(QLatin1Char('\n'), Qt::SkipEmptyParts);
        QCOMPARE(lines.size(), 2);
        QCOMPARE(lines[0].section(QLatin1Char('\t'), 0, 0), QStringLiteral("Mark"));
        QCOMPARE(lines[1].section(QLatin1Char('\t'), 0, 0), QStringLiteral("R2"));
        d.window->schedule().table().copy(true);
        QCOMPARE(QApplication::clipboard()->text().count(QLatin1Char('\n')), 3);
    }

    void pagesAreThoseOfThePrint() {
        ShopDesk d;
        d.front("schedule");
        QTRY_VERIFY_WITH_TIMEOUT(d.live().pages().size() == 2, 60'000);
        QVERIFY(d.live().pages()[0] > 1);
        QVERIFY(d.live().pages()[1] > d.live().pages()[0]);
        QCOMPARE(d.window->schedule().table().item(1, views::ScheduleView::Page)->text(), QString::number(d.live().pages()[1]));
    }

    void theLimitIsKeptAndTheViewsComeBack() {
        ShopDesk d;
        auto* seconds = d.window->cutting().head().findChild<QSpinBox*>();
        QVERIFY(seconds != nullptr);
        seconds->setValue(7);
        QCOMPARE(d.live().seconds(), 7);
        d.settle();
        d.window->close();
        QCOMPARE(QSettings().value(QStringLiteral("workshop/seconds")).toInt(), 7);
        d.tester.reset();
        d.window.reset();
        d.start();
        QVERIFY(d.window->cutting().isVisible() || d.window->schedule().isVisible() || d.window->cost().isVisible());
        QCOMPARE(d.live().seconds(), 7);
    }

    void bestPlansAreDrawnWhileTheSearchGoesOn() {
        ShopDesk d;
        QSignalSpy better(&d.live(), &models::LiveWorkshop::betterPlan);
        std::size_t drawn = 0;
        QString words;
        connect(&d.live(), &models::LiveWorkshop::betterPlan, this, [&] {
            for (const shop::PlanSoFar& now : d.live().soFar()) {
                std::int64_t pieces = 0;
                for (const shop::CutBoard& b : now.plan.boards) pieces += b.times * static_cast<std::int64_t>(b.pieces.size());
                drawn = std::max(drawn, static_cast<std::size_t>(pieces));
                words = models::fromUtf8(now.plan.words);
            }
        });
        d.live().again();
        d.settle();
        QVERIFY(better.count() > 0);
        QCOMPARE(drawn, std::size_t(12)); // a plan on the way has all pieces
        QVERIFY(words.contains(QStringLiteral("so far; at least")));
        // What is planned to the end is not "so far".
        QVERIFY(d.live().soFar().empty());
    }

    void stoppedItKeepsTheBestSoFar() {
        // Panels of many sizes are searched for long; nobody waits ten minutes here.
        std::string job = "job Many\ndate 2026-05-04\nstock p = ply, 12 mm by 1220 mm by 2440 mm, panel\nsaw kerf 3 mm\n";
        for (int i = 0; i < 40; ++i)
            job += "member P" + std::to_string(i) + " = shelf\n        off 3\n        with a = " + std::to_string(210 + i * 53 % 490) +
                   " mm\n        with c = " + std::to_string(190 + i * 97 % 610) + " mm\n";
        LibraryDesk d(job, "sheet shelf\ntitle Panel\nask a [mm]\nask c [mm]\ncheck x: a <= 2 m\npiece web = 1 off, 12 mm by a by c from ply, grain free\n");
        models::LiveWorkshop& live = d.window->live();
        live.setSeconds(600);
        d.run("workshop");
        QTRY_VERIFY_WITH_TIMEOUT(!live.soFar().empty(), 60'000);
        const std::int64_t soFar = live.soFar().front().plan.cut;
        QVERIFY(live.phase() == models::LiveWorkshop::Phase::Plans);
        live.stop();
        QTRY_VERIFY_WITH_TIMEOUT(live.workshop() && live.phase() == models::LiveWorkshop::Phase::Rests, 60'000);
        QVERIFY(live.isStopped());
        QVERIFY(d.window->cutting().head().words().startsWith(QStringLiteral("Stopped")));
        // It is a whole plan, no worse than what was drawn.
        QVERIFY(live.workshop()->plan.whole);
        QVERIFY(live.workshop()->plan.groups[0].cut <= soFar);
        QCOMPARE(live.workshop()->plan.groups[0].pieces, std::int64_t(120));
    }

    void pricesChangedByAnotherProgramMakeCostsAnew() {
        LibraryDesk d(std::string(kJob).replace(kJob.find("currency EUR"), 12, "currency EUR\nprices p.csv"), kRail);
        d.put(QStringLiteral("p.csv"), "item [text], price [text], on [text], until [text]\ns, 10 EUR, 2026-05-01,\n");
        d.run("workshop");
        models::LiveWorkshop& live = d.window->live();
        const auto rests = [&] { return live.workshop() && !live.isOutOfDate() && live.phase() == models::LiveWorkshop::Phase::Rests; };
        QTRY_VERIFY_WITH_TIMEOUT(rests(), 60'000);
        const shop::Cents before = live.workshop()->bill.total;
        d.put(QStringLiteral("p.csv"), "item [text], price [text], on [text], until [text]\ns, 20 EUR, 2026-05-02,\n");
        QTRY_VERIFY_WITH_TIMEOUT(live.workshop()->bill.total > before, 60'000);
        QTRY_VERIFY_WITH_TIMEOUT(rests(), 60'000);
    }

    void everythingHasANameForWhoCannotSeeIt() {
        ShopDesk d;
        for (const QTabBar* tabs : d.window->findChildren<QTabBar*>())
            if (tabs->isVisible()) QVERIFY(!tabs->accessibleName().isEmpty());
        for (const char* name : {"schedule", "cutting", "cost"}) {
            d.front(name);
            for (const QWidget* w : d.window->findChild<QDockWidget*>(QLatin1String(name))->findChildren<QWidget*>()) {
                if (!w->isVisible() || w->focusPolicy() == Qt::NoFocus || w->inherits("QScrollBar") || w->objectName().startsWith(QStringLiteral("qt_")))
                    continue;
                QAccessibleInterface* seen = QAccessible::queryAccessibleInterface(const_cast<QWidget*>(w));
                QVERIFY2(seen != nullptr && !seen->text(QAccessible::Name).isEmpty(), w->metaObject()->className());
            }
        }
    }
};

SPANWRIGHT_QT_TEST(DeskWorkshopTest);
#include "desk_workshop_test.moc"

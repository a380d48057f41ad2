// SPDX-License-Identifier: MIT
#include <QSignalSpy>
#include <QTableWidget>
#include <QTest>

#include "gui/app/workshop_dialog.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

namespace {

const char* const kSheet = R"(sheet   rail
title   Rail
part    All
given   b = 47 mm
given   h = 195 mm
ask     L [m]
check   short: L <= 5 m
schedule section = b by h
schedule span = L
piece   rail = 2 off, b by h by L from C24
)";

const char* const kJob = R"(job     Rails
date    2026-05-04
currency EUR
stock   s = C24, 47 mm by 195 mm by 4.8 m, 10 EUR on 2026-05-01
saw     kerf 3 mm
member  R1 = rail
        off   3
        with  L = 2.3 m
member  R2 = rail
        with  L = 1.2 m
)";

std::unique_ptr<models::JobSession> open() {
    auto files = std::make_unique<io::Memory>();
    files->files["shed/job.spanjob"] = kJob;
    files->files["lib/rail.spansheet"] = kSheet;
    auto session = std::make_unique<models::JobSession>(QStringLiteral("lib"), std::move(files));
    session->open(QStringLiteral("shed/job.spanjob"));
    return session;
}

} // namespace

class WorkshopDialogTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void showsScheduleBoardsAndCosts() {
        auto session = open();
        // What is edited and not saved counts.
        QVERIFY(!session->setValue(*session->find("R2", "L"), QStringLiteral("1.4 m")));
        app::WorkshopDialog dialog(*session, nullptr);
        QSignalSpy done(&dialog, &app::WorkshopDialog::done);
        dialog.show();
        QTRY_COMPARE_WITH_TIMEOUT(done.count(), 1, 20'000);
        const shop::Workshop& w = *dialog.workshop();
        QCOMPARE(dialog.schedule().rowCount(), 2);
        QCOMPARE(dialog.schedule().item(0, 0)->text(), QStringLiteral("R1"));
        QVERIFY(dialog.schedule().item(1, 3)->text().contains(QStringLiteral("1.4")));
        // Two of 2.3 m fit a board, and six are wanted; three of 1.4 m fit one, and two are wanted: four boards.
        QCOMPARE(w.plan.groups.size(), std::size_t(1));
        QCOMPARE(w.plan.groups[0].bought, std::int64_t(4));
        QVERIFY(w.plan.whole);
        QVERIFY(dialog.drawings() > 0);
        // No price is shown as proven that the bill does not take as proven.
        for (int r = 0; r < 2; ++r) {
            const auto& row = w.schedule[static_cast<std::size_t>(r)];
            QCOMPARE(dialog.schedule().item(r, 6)->text().contains(QStringLiteral("not proven")), row.cents.has_value() && !row.proven);
        }
        QCOMPARE(session->view(*session->find("R1", "L")).shown, std::string("2.3 m"));
    }

    void stoppedOrClosedItEnds() {
        auto session = open();
        { app::WorkshopDialog dialog(*session, nullptr); }
        app::WorkshopDialog dialog(*session, nullptr);
        QSignalSpy done(&dialog, &app::WorkshopDialog::done);
        dialog.stop(); // what it shows then depends on how far it had come
        QTRY_COMPARE_WITH_TIMEOUT(done.count(), 1, 20'000);
    }
};

SPANWRIGHT_QT_TEST(WorkshopDialogTest);
#include "workshop_dialog_test.moc"

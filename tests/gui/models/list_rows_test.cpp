// SPDX-License-Identifier: MIT
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTest>

#include "gui/models/list_rows.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::ListRows;

namespace {

const std::string kSheet = std::string(shelf::kSheet) + R"(list    things by thing
thing, at [m], kind [text]
vase, 0.3, light
end
each    it in things                    -- what stands on the board
require known: it.kind == "light" or it.kind == "heavy" -- of a known kind
)";

std::unique_ptr<models::JobSession> open() {
    auto files = shelf::files();
    files->files["lib/shelf.spansheet"] = kSheet;
    auto session = std::make_unique<models::JobSession>(QStringLiteral("lib"), std::move(files));
    session->open(QStringLiteral("shed/job.spanjob"));
    return session;
}

} // namespace

class ListRowsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void rowsComeGoAndMoveInExactRuns() {
        const auto s = open();
        ListRows rows(*s, *s->find("S2", "things"));
        QAbstractItemModelTester tester(&rows, QAbstractItemModelTester::FailureReportingMode::QtTest);
        QSignalSpy inserted(&rows, &QAbstractItemModel::rowsInserted), removed(&rows, &QAbstractItemModel::rowsRemoved),
            moved(&rows, &QAbstractItemModel::rowsMoved), changed(&rows, &QAbstractItemModel::dataChanged);
        QCOMPARE(rows.headerData(1, Qt::Horizontal, Qt::DisplayRole).toString(), QStringLiteral("at [m]"));
        QVERIFY(rows.insertRow(1));
        QCOMPARE(inserted.count(), 1);
        QCOMPARE(inserted.first().at(1).toInt(), 1);
        QCOMPARE(inserted.first().at(2).toInt(), 1);
        QVERIFY(rows.setData(rows.index(1, 0), QStringLiteral("book"), Qt::EditRole));
        QVERIFY(rows.setData(rows.index(1, 1), QStringLiteral("2 ft"), Qt::EditRole));
        QVERIFY(rows.setData(rows.index(1, 2), QStringLiteral("heavy, old"), Qt::EditRole));
        QCOMPARE(changed.count(), 3);
        rows.moveRow(1, -1);
        QCOMPARE(moved.count(), 1);
        QCOMPARE(rows.index(0, 0).data().toString(), QStringLiteral("book"));
        rows.moveRow(0, -1); // there is nothing above it
        QCOMPARE(moved.count(), 1);
        QVERIFY(!rows.state());
        QVERIFY2(shelf::text(*s).find("        book, 2 ft, \"heavy, old\"\n        vase, 0.3, light\n        end\n") != std::string::npos,
                 shelf::text(*s).c_str());
        QVERIFY(rows.removeRow(0));
        QCOMPARE(removed.first().at(2).toInt(), 0);
        QVERIFY(!rows.removeRow(7));
        s->undoStack().undo();
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
    }

    void fieldsAreCheckedAgainstTheirUnit() {
        const auto s = open();
        ListRows rows(*s, *s->find("S2", "things"));
        QSignalSpy refused(&rows, &ListRows::refused);
        QSignalSpy changed(&rows, &QAbstractItemModel::dataChanged);
        for (const char* wrong : {"2 kg", "1,200", "", "so so"}) QVERIFY2(!rows.setData(rows.index(0, 1), QLatin1String(wrong), Qt::EditRole), wrong);
        QCOMPARE(refused.count(), 4);
        // What was typed stays, with the reason, and is never stated.
        QCOMPARE(rows.index(0, 1).data().toString(), QStringLiteral("so so"));
        QVERIFY(!rows.index(0, 1).data(ListRows::RefusalRole).toString().isEmpty());
        QVERIFY(rows.index(0, 1).data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("refused")));
        QVERIFY(rows.isWaiting());
        QVERIFY(rows.state().has_value());
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
        // As it was: the refusal goes and nothing is stated.
        QVERIFY(rows.setData(rows.index(0, 1), QStringLiteral("0.3"), Qt::EditRole));
        QVERIFY(!rows.isWaiting());
        QVERIFY(!rows.state());
        QCOMPARE(QString::fromStdString(shelf::text(*s)), QString::fromLatin1(shelf::kJob));
        changed.clear();
        QVERIFY(rows.setData(rows.index(0, 1), QStringLiteral("35 cm"), Qt::EditRole));
        QCOMPARE(changed.first().at(0).toModelIndex(), rows.index(0, 1));
        QVERIFY(rows.setData(rows.index(0, 1), QStringLiteral("0,4"), Qt::EditRole));
        QCOMPARE(rows.index(0, 1).data().toString(), QStringLiteral("0.4"));
        // A refused text moves and goes with its row.
        rows.insertRow(0);
        QVERIFY(!rows.setData(rows.index(0, 1), QStringLiteral("2 kg"), Qt::EditRole));
        rows.moveRow(0, 1);
        QCOMPARE(rows.index(1, 1).data().toString(), QStringLiteral("2 kg"));
        QVERIFY(rows.removeRow(1));
        QVERIFY(!rows.state());
        QVERIFY(shelf::text(*s).find("vase, 0.4, light") != std::string::npos);
    }

    void aHeadWithoutUnitsHasThoseOfTheSheet() {
        const auto s = open();
        QVERIFY(!s->edit(QStringLiteral("list"), [](job::Job& job) { return job.setList("S2", "things", "thing, at, kind\nvase, 0.3, light\n"); }));
        ListRows rows(*s, *s->find("S2", "things"));
        QCOMPARE(rows.headerData(1, Qt::Horizontal, Qt::DisplayRole).toString(), QStringLiteral("at [m]"));
        QVERIFY(!rows.setData(rows.index(0, 1), QStringLiteral("2 kg"), Qt::EditRole));
        QVERIFY(rows.setData(rows.index(0, 1), QStringLiteral("45 cm"), Qt::EditRole));
        QVERIFY(!rows.state());
        QVERIFY2(shelf::text(*s).find("vase, 45 cm, light") != std::string::npos, shelf::text(*s).c_str());
        const auto list = s->job().list(s->find("S2", "things")->member, s->find("S2", "things")->quantity);
        QVERIFY(list.has_value());
        QVERIFY(s->job().diagnostics().size() == 1); // the wood of the lower shelf, as before
    }

    void aNewRowFitsAndWhatIsDoneElsewhereIsFollowed() {
        const auto s = open();
        ListRows rows(*s, *s->find("S2", "things"));
        QAbstractItemModelTester tester(&rows, QAbstractItemModelTester::FailureReportingMode::QtTest);
        QCOMPARE(rows.what(), QStringLiteral("what stands on the board"));
        QCOMPARE(rows.knownWords(2), QStringList({"light", "heavy"}));
        QVERIFY(rows.insertRow(1));
        QCOMPARE(rows.index(1, 0).data().toString(), QStringLiteral("thing 2"));
        QCOMPARE(rows.index(1, 1).data().toString(), QStringLiteral("0"));
        QCOMPARE(rows.index(1, 2).data().toString(), QStringLiteral("light"));
        QVERIFY(!rows.state());
        QVERIFY(rows.isStated());
        QSignalSpy reset(&rows, &QAbstractItemModel::modelReset);
        s->undoStack().undo();
        QCOMPARE(reset.count(), 1);
        QCOMPARE(rows.rowCount(), 1);
        QVERIFY(!rows.isStated());
        s->undoStack().redo();
        QCOMPARE(rows.rowCount(), 2);
        // While a refused text waits, it is not taken away.
        QVERIFY(!rows.setData(rows.index(0, 1), QStringLiteral("2 kg"), Qt::EditRole));
        s->undoStack().undo();
        QCOMPARE(rows.index(0, 1).data().toString(), QStringLiteral("2 kg"));
        QVERIFY(!rows.takeBack());
        QCOMPARE(rows.rowCount(), 1);
        QVERIFY(!rows.isWaiting());
    }
};

SPANWRIGHT_QT_TEST(ListRowsTest);
#include "list_rows_test.moc"

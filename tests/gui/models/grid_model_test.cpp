// SPDX-License-Identifier: MIT
#include <QAbstractItemModelTester>
#include <QSignalSpy>
#include <QTest>

#include <random>

#include "gui/models/grid_model.h"
#include "tests/gui/test_list.h"
#include "tests/gui/shelf_job.h"

using namespace spanwright;
using namespace spanwright::models;

namespace {

using Tester = QAbstractItemModelTester;

QStringList symbols(const GridModel& m) {
    QStringList out;
    for (int r = 0; r < m.rowCount(); ++r) out << m.index(r, 0).data().toString();
    return out;
}

/// "first..last@column" of every dataChanged.
QStringList ranges(const QSignalSpy& spy) {
    QStringList out;
    for (const QList<QVariant>& call : spy) {
        const auto a = call[0].toModelIndex(), b = call[1].toModelIndex();
        out << QStringLiteral("%1..%2@%3..%4").arg(a.row()).arg(b.row()).arg(a.column()).arg(b.column());
    }
    return out;
}

struct Fixture {
    std::unique_ptr<JobSession> session = shelf::open();
    GridModel model{*session};
    Tester tester{&model, Tester::FailureReportingMode::QtTest};
    QModelIndex at(const char* mark, const char* name) { return model.indexOf(*session->find(mark, name)); }
};

} // namespace

class GridModelTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void rowsStandInTheSheetsOrder() {
        Fixture f;
        const QStringList expected = {"Board", "L", "b", "h", "wood", "W", "Load", "q", "load", "M", "σ", "bending", "slender", "R", "Stiffener", "t", "room"};
        QCOMPARE(symbols(f.model), expected);
        QCOMPARE(f.model.columnCount(), 5);
        QCOMPARE(f.model.headerData(3, Qt::Horizontal, Qt::DisplayRole).toString(), QStringLiteral("S1"));
        QCOMPARE(f.model.headerData(3, Qt::Horizontal, GridModel::CountRole).toString(), QStringLiteral("3"));
        QCOMPARE(f.model.headerData(3, Qt::Horizontal, GridModel::PurposeRole).toString(), QStringLiteral("upper shelf"));
        QCOMPARE(f.model.index(1, GridModel::UnitColumn).data().toString(), QStringLiteral("m"));
        QCOMPARE(f.model.index(1, GridModel::WhatColumn).data().toString(), QStringLiteral("span"));
    }

    void cellsSayWhatStandsThereAndWhoSaidIt() {
        Fixture f;
        QCOMPARE(f.at("S1", "L").data().toString(), QStringLiteral("1.2"));
        QCOMPARE(f.at("S1", "L").data(GridModel::FormRole).toInt(), int(GridModel::Form::Stated));
        QCOMPARE(f.at("S1", "b").data(GridModel::FormRole).toInt(), int(GridModel::Form::Assumed));
        QCOMPARE(f.at("S1", "q").data(GridModel::FormRole).toInt(), int(GridModel::Form::Linked));
        QCOMPARE(f.at("S1", "q").data(GridModel::LinkRole).toString(), QStringLiteral("q_all"));
        QCOMPARE(f.at("S2", "q").data(GridModel::FormRole).toInt(), int(GridModel::Form::Stated));
        QCOMPARE(f.at("S1", "W").data(GridModel::FormRole).toInt(), int(GridModel::Form::Worked));
        QCOMPARE(f.at("S2", "wood").data(GridModel::FormRole).toInt(), int(GridModel::Form::NotStated));
        QCOMPARE(f.at("S2", "wood").data().toString(), QStringLiteral("not stated"));
        // sigma = 2*0.4*1.44/8 kN·m / 30000 mm3 = 4.8 N/mm2 in the worse case; over 10 N/mm2.
        QCOMPARE(f.at("S1", "sigma").data().toString(), QStringLiteral("4.8"));
        QCOMPARE(f.at("S1", "bending").data(GridModel::UtilisationRole).toDouble(), 0.48);
        QCOMPARE(f.at("S1", "bending").data(GridModel::CheckRole).toInt(), int(job::CheckView::State::Passes));
        QVERIFY(!f.at("S2", "bending").data(GridModel::UtilisationRole).isValid());
        QVERIFY(f.at("S2", "bending").data(GridModel::CheckRole).toInt() != int(job::CheckView::State::Passes));
        QCOMPARE(f.at("S1", "room").data(GridModel::CheckRole).toInt(), int(job::CheckView::State::NotApplicable));
        QVERIFY(f.at("S1", "bending").data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("0.48")));
    }

    void headingsSumUpTheirChecks() {
        Fixture f;
        const QModelIndex load = f.model.index(6, 3);
        QCOMPARE(load.data(GridModel::CheckRole).toInt(), int(job::CheckView::State::Passes));
        QCOMPARE(load.data(GridModel::UtilisationRole).toDouble(), 0.48);
        QCOMPARE(f.model.index(14, 3).data().toString(), QStringLiteral("does not apply"));
    }

    void oneEditTellsExactlyWhatIsShownDifferently() {
        Fixture f;
        QSignalSpy changed(&f.model, &QAbstractItemModel::dataChanged);
        QSignalSpy reset(&f.model, &QAbstractItemModel::modelReset);
        QVERIFY(f.model.setData(f.at("S1", "L"), QStringLiteral("2.4"), Qt::EditRole));
        QCOMPARE(reset.count(), 0);
        // L; the heading Load; M, sigma, bending; R. Not: q, load, slender (still passes), S2.
        QCOMPARE(ranges(changed), QStringList({"1..1@3..3", "6..6@3..3", "9..11@3..3", "13..13@3..3"}));
        changed.clear();
        // The next edit takes the marks of the last one away.
        QVERIFY(f.model.setData(f.at("S2", "h"), QStringLiteral("40"), Qt::EditRole));
        QVERIFY(ranges(changed).contains(QStringLiteral("1..1@3..3")));
        QVERIFY(!f.at("S1", "L").data(GridModel::ChangedRole).toBool());
        QVERIFY(f.at("S2", "W").data(GridModel::ChangedRole).toBool());
        QCOMPARE(f.at("S2", "W").data(GridModel::OldRole).toString(), QStringLiteral("30000 mm³"));
        QVERIFY(f.at("S2", "W").data(Qt::ToolTipRole).toString().contains(QStringLiteral("30000 mm³")));
    }

    void refusalStaysAtTheCell() {
        Fixture f;
        QSignalSpy refused(&f.model, &GridModel::refused);
        const QString before = f.at("S1", "L").data().toString();
        QVERIFY(!f.model.setData(f.at("S1", "L"), QStringLiteral("2 kg"), Qt::EditRole));
        QCOMPARE(refused.count(), 1);
        QVERIFY2(refused[0][1].toString().contains(QStringLiteral("kg")), qPrintable(refused[0][1].toString()));
        QCOMPARE(f.at("S1", "L").data().toString(), before);
        QCOMPARE(f.at("S1", "L").data(GridModel::RefusedRole).toString(), QStringLiteral("2 kg"));
        QCOMPARE(f.at("S1", "L").data(Qt::EditRole).toString(), QStringLiteral("2 kg"));
        QVERIFY(!f.at("S1", "L").data(GridModel::RefusalRole).toString().isEmpty());
        QVERIFY(!f.model.setData(f.at("S1", "L"), QStringLiteral("1,200"), Qt::EditRole));
        QVERIFY(f.at("S1", "L").data(GridModel::RefusalRole).toString().contains(QStringLiteral("mend")));
        QVERIFY(f.model.setData(f.at("S1", "L"), QStringLiteral("2 m"), Qt::EditRole));
        QVERIFY(!f.at("S1", "L").data(GridModel::RefusedRole).isValid());
        QVERIFY(!f.model.setData(f.at("S1", "L"), QStringLiteral("x"), Qt::EditRole));
        f.model.dropRefusal(*f.session->find("S1", "L"));
        QVERIFY(!f.at("S1", "L").data(GridModel::RefusedRole).isValid());
    }

    void onlyWhatCanBeStatedIsEditable() {
        Fixture f;
        for (const char* name : {"L", "b", "wood", "q"}) QVERIFY(f.at("S1", name).flags() & Qt::ItemIsEditable);
        for (const char* name : {"W", "load", "M", "bending", "slender"}) QVERIFY(!(f.at("S1", name).flags() & Qt::ItemIsEditable));
        QVERIFY(!(f.model.index(1, 1).flags() & Qt::ItemIsEditable));
        QVERIFY(!f.model.setData(f.at("S1", "W"), QStringLiteral("1"), Qt::EditRole));
    }

    void foldingTakesRowsAwayInOneRun() {
        Fixture f;
        QSignalSpy gone(&f.model, &QAbstractItemModel::rowsRemoved);
        QSignalSpy come(&f.model, &QAbstractItemModel::rowsInserted);
        f.model.setFolded(6, true);
        QCOMPARE(gone.count(), 1);
        QCOMPARE(gone[0][1].toInt(), 7);
        QCOMPARE(gone[0][2].toInt(), 13);
        QVERIFY(f.model.index(6, 0).data(GridModel::FoldedRole).toBool());
        f.model.setFolded(6, false);
        QCOMPARE(come.count(), 1);
        QCOMPARE(come[0][1].toInt(), 7);
        QCOMPARE(come[0][2].toInt(), 13);
    }

    void casesOpenBelowTheirRow() {
        Fixture f;
        const int row = f.at("S1", "M").row();
        QVERIFY(f.model.index(row, 0).data(GridModel::OpensRole).toBool());
        QSignalSpy come(&f.model, &QAbstractItemModel::rowsInserted);
        f.model.setOpen(row, true);
        QCOMPARE(come.count(), 1);
        QCOMPARE(come[0][1].toInt(), row + 1);
        QCOMPARE(come[0][2].toInt(), row + 2);
        QCOMPARE(f.model.index(row + 1, 1).data().toString(), QStringLiteral("rest"));
        QCOMPARE(f.model.index(row + 2, 1).data().toString(), QStringLiteral("rush"));
        QCOMPARE(f.model.index(row + 1, 3).data().toString(), QStringLiteral("0.072"));
        QCOMPARE(f.model.index(row + 2, 3).data().toString(), QStringLiteral("0.144"));
        const int check = f.at("S1", "bending").row();
        f.model.setOpen(check, true);
        QCOMPARE(f.model.index(check + 1, 3).data(GridModel::UtilisationRole).toDouble(), 0.24);
        QCOMPARE(f.model.index(check + 2, 3).data(GridModel::UtilisationRole).toDouble(), 0.48);
        // An edit reaches the cases.
        QSignalSpy changed(&f.model, &QAbstractItemModel::dataChanged);
        QVERIFY(f.model.setData(f.at("S1", "L"), QStringLiteral("2.4"), Qt::EditRole));
        QVERIFY(ranges(changed).contains(QStringLiteral("%1..%2@3..3").arg(row).arg(check + 2)));
        f.model.setOpen(row, false);
        QCOMPARE(f.model.index(row + 1, 0).data().toString(), QStringLiteral("σ"));
    }

    void filters() {
        Fixture f;
        f.model.setFilter(GridModel::Filter::Checks);
        QCOMPARE(symbols(f.model), QStringList({"Load", "bending", "slender", "Stiffener", "room"}));
        f.model.setFilter(GridModel::Filter::ToState);
        QCOMPARE(symbols(f.model), QStringList({"Board", "L", "wood", "Load", "q"}));
        f.model.setFilter(GridModel::Filter::Differs);
        QVERIFY(symbols(f.model).contains(QStringLiteral("L")));
        QVERIFY(!symbols(f.model).contains(QStringLiteral("b")));
        f.model.setFilter(GridModel::Filter::Changed);
        QCOMPARE(f.model.rowCount(), 0);
        f.model.setFilter(GridModel::Filter::All);
        QVERIFY(f.model.setData(f.at("S1", "L"), QStringLiteral("2.4"), Qt::EditRole));
        f.model.setFilter(GridModel::Filter::Changed);
        QCOMPARE(symbols(f.model), QStringList({"Board", "L", "Load", "M", "σ", "bending", "R"}));
        // Revealing what the filter hides takes the filter away.
        QVERIFY(f.model.reveal(*f.session->find("S1", "b")).isValid());
        QCOMPARE(f.model.filter(), GridModel::Filter::All);
    }

    void otherSheet() {
        Fixture f;
        f.model.setGroup(1);
        QCOMPARE(symbols(f.model), QStringList({"All", "N", "A", "σ_c", "crushing"}));
        QCOMPARE(f.model.columnCount(), 4);
        const QModelIndex back = f.model.reveal(*f.session->find("S2", "R"));
        QCOMPARE(f.model.group(), std::size_t(0));
        QCOMPARE(back.column(), 4);
        // The sheet shown stays when members come.
        f.model.setGroup(1);
        QVERIFY(!f.session->edit(QStringLiteral("copy"), [](job::Job& j) { return j.duplicateMember("S1", "S3"); }));
        QCOMPARE(f.model.group(), std::size_t(1));
        QCOMPARE(f.model.columnCount(), 4);
    }

    void copyAndPaste() {
        Fixture f;
        const QModelIndexList cells = {f.at("S1", "L"), f.at("S2", "L"), f.at("S1", "b"), f.at("S2", "b")};
        QCOMPARE(f.model.copied(cells), QStringLiteral("1.2 m\t1.8 m\n200 mm\t200 mm\n"));
        QVERIFY(!f.model.paste(f.at("S1", "L"), QStringLiteral("2 m\t2.2\n250 mm\t260\n")));
        QCOMPARE(f.at("S2", "L").data().toString(), QStringLiteral("2.2"));
        QCOMPARE(f.at("S2", "b").data().toString(), QStringLiteral("260"));
        QCOMPARE(f.session->undoStack().count(), 1);
        QVERIFY(f.model.paste(f.at("S2", "L"), QStringLiteral("2\t3\t4\n")).has_value());
        QVERIFY(f.model.paste(f.at("S1", "L"), QStringLiteral("3 m\n3 kg\n")).has_value());
        QCOMPARE(f.at("S1", "L").data().toString(), QStringLiteral("2"));
    }

    void copyToTheRight() {
        Fixture f;
        QVERIFY(!f.model.copyToRight(f.at("S1", "wood")));
        QCOMPARE(f.at("S2", "wood").data().toString(), QStringLiteral("soft"));
        QVERIFY(f.model.copyToRight(f.at("S2", "wood")).has_value());
        QVERIFY(f.model.copyToRight(f.at("S1", "W")).has_value());
    }

    void undoThroughTheModel() {
        Fixture f;
        QVERIFY(f.model.setData(f.at("S1", "L"), QStringLiteral("2.4"), Qt::EditRole));
        f.session->undoStack().undo();
        QCOMPARE(f.at("S1", "L").data().toString(), QStringLiteral("1.2"));
    }

    void stepsTurnAnyListIntoAnyOther() {
        std::mt19937 random(7);
        for (int round = 0; round < 500; ++round) {
            const auto pick = [&] {
                std::vector<GridRow> rows;
                for (std::uint32_t i = 0; i < 40; ++i) {
                    if (random() % 3 == 0) continue;
                    rows.push_back({GridRow::Sort::Value, i, 0, {}, 0});
                    if (random() % 5 == 0)
                        for (std::uint32_t c = 0; c < random() % 4; ++c) rows.push_back({GridRow::Sort::Case, i, 0, {}, c});
                }
                return rows;
            };
            const std::vector<GridRow> before = pick(), after = pick();
            std::vector<GridRow> now = before;
            for (const RowStep& s : stepsBetween(before, after)) {
                QVERIFY(s.count > 0);
                const auto at = now.begin() + static_cast<std::ptrdiff_t>(s.first);
                if (s.insert)
                    now.insert(at, after.begin() + static_cast<std::ptrdiff_t>(s.from), after.begin() + static_cast<std::ptrdiff_t>(s.from + s.count));
                else
                    now.erase(at, at + static_cast<std::ptrdiff_t>(s.count));
            }
            QVERIFY(now == after);
        }
    }
};

SPANWRIGHT_QT_TEST(GridModelTest);
#include "grid_model_test.moc"

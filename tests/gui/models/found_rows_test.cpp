// SPDX-License-Identifier: MIT
#include <QAbstractItemModelTester>
#include <QStringListModel>
#include <QTest>

#include "gui/models/found_rows.h"
#include "tests/gui/test_list.h"

using spanwright::models::FoundRows;

class FoundRowsTest : public QObject {
    Q_OBJECT

    static QStringList lines(const FoundRows& found) {
        QStringList out;
        for (int i = 0; i < found.rowCount(); ++i) out << found.index(i).data().toString();
        return out;
    }

private Q_SLOTS:
    void everyWordInAnyOrder() {
        const QStringList all{QStringLiteral("J1.a_e   beyond the bearing"), QStringLiteral("J1.A   area"), QStringLiteral("J2.A   area"),
                              QStringLiteral("H1.bearing   Bearing strength")};
        QStringListModel source(all);
        FoundRows found(source);
        const QAbstractItemModelTester tester(&found, QAbstractItemModelTester::FailureReportingMode::QtTest);
        QCOMPARE(lines(found), all);
        found.find(QStringLiteral("area j2"));
        QCOMPARE(lines(found), QStringList{all[2]});
        // Narrower, wider, and another.
        found.find(QStringLiteral("bear"));
        QCOMPARE(lines(found), (QStringList{all[0], all[3]}));
        found.find(QStringLiteral("bearing str"));
        QCOMPARE(lines(found), QStringList{all[3]});
        found.find(QStringLiteral("bearing"));
        QCOMPARE(lines(found), (QStringList{all[0], all[3]}));
        QCOMPARE(found.inSource(found.index(1)), source.index(3));
        found.find(QStringLiteral("none such"));
        QCOMPARE(found.rowCount(), 0);
        QVERIFY(!found.best().isValid());
        found.find({});
        QCOMPARE(lines(found), all);
    }

    void aNameWrittenWholeComesFirst() {
        QStringListModel source({QStringLiteral("J1.a_e   beyond"), QStringLiteral("J1.a   small"), QStringLiteral("J1.A   area")});
        FoundRows found(source);
        QCOMPARE(found.best(), found.index(0));
        found.find(QStringLiteral("J1.A"));
        QCOMPARE(found.rowCount(), 3);
        QCOMPARE(found.best(), found.index(2));
        found.find(QStringLiteral("j1.A"));
        QCOMPARE(found.best(), found.index(1));
        found.find(QStringLiteral("J1.a_"));
        QCOMPARE(found.best(), found.index(0));
    }
};

SPANWRIGHT_QT_TEST(FoundRowsTest);
#include "found_rows_test.moc"

// SPDX-License-Identifier: MIT
// Answers of the first page that are not taken: nothing is proven by the ones of before, and nothing else is kept in their place.
#include <QApplication>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMessageBox>
#include <QPushButton>
#include <QTableView>
#include <QTimer>

#include "gui/models/grid_model.h"
#include "gui/views/first_standing.h"
#include "gui/views/list_editor.h"
#include "tests/gui/app/first_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

namespace {

/// All that a floor joist asks, so that it is OK.
struct Answered : First {
    Answered() {
        QVERIFY(screen().begin(QStringLiteral("eu/floor-joist")));
        QTRY_VERIFY(field("L").input()->hasFocus());
        for (const auto& [name, text] :
             {std::pair("L", "3"), {"grade", "C24"}, {"service", "1"}, {"category", "A"}, {"g_k", "0.5"}, {"q_k", "2"}, {"B_f", "5"}}) {
            screen().form().goTo(QString::fromUtf8(name));
            QTRY_VERIFY(field(name).input()->hasFocus());
            type(text);
        }
        QTRY_COMPARE(word(), QStringLiteral("OK"));
    }
    [[nodiscard]] QString word() { return screen().standing().verdictWord(); }
    QLineEdit& line(const char* name) { return *qobject_cast<QLineEdit*>(field(name).input()); }
    void retype(const char* name, const char* text) {
        screen().form().goTo(QString::fromUtf8(name));
        QTRY_VERIFY(line(name).hasFocus());
        line(name).selectAll();
        keys(text);
    }
};

/// Works the box that asks next; true where one did.
struct Asked {
    bool was = false;
    QString text;
    QTimer soon;
    explicit Asked(QMessageBox::StandardButton answer) {
        soon.setSingleShot(true);
        QObject::connect(&soon, &QTimer::timeout, &soon, [this, answer] {
            auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget());
            if (box == nullptr) return;
            was = true;
            text = box->text() + box->informativeText();
            box->done(answer);
        });
        soon.start(0);
    }
};

} // namespace

class FirstRefusalsTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void anAnswerThatIsNotTakenProvesNothing() {
        Answered f;
        for (const char* wrong : {"1,500", "3 kN", "40 m", "three"}) {
            f.retype("L", wrong);
            f.key(Qt::Key_Tab);
            QVERIFY2(f.field("L").refusal().isVisible(), wrong);
            QCOMPARE(f.word(), QStringLiteral("NOT PROVEN"));
            const QString said = f.screen().standing().said();
            QVERIFY2(!said.contains(QStringLiteral("Everything")) && !said.contains(QStringLiteral("nearest to its limit")), qPrintable(said));
            QCOMPARE(f.screen().standing().open().count(), 1);
            QVERIFY(f.screen().standing().open().item(0)->text().endsWith(QStringLiteral("not taken")));
            QCOMPARE(f.screen().job().neededStated(), f.screen().job().needed() - 1);
        }
        // What has a default proves no more.
        f.retype("L", "3");
        f.key(Qt::Key_Tab);
        QTRY_COMPARE(f.word(), QStringLiteral("OK"));
        f.retype("s", "nothing");
        f.key(Qt::Key_Tab);
        QCOMPARE(f.word(), QStringLiteral("NOT PROVEN"));
        QVERIFY(!f.screen().standing().said().contains(QStringLiteral("Everything")));
        // Nor is anything else kept in its place.
        QVERIFY(!f.screen().job().text().ok());
        // Taken out again the default holds, and is said to.
        f.line("s").selectAll();
        f.screen().form().goTo(QStringLiteral("s"));
        f.line("s").selectAll();
        f.key(Qt::Key_Delete);
        f.key(Qt::Key_Tab);
        QTRY_COMPARE(f.word(), QStringLiteral("OK"));
        QVERIFY(f.screen().job().text().ok());
    }

    void theAnswerOfBeforeTypedAgainIsOne() {
        Answered f;
        f.retype("L", "x");
        f.key(Qt::Key_Tab);
        QCOMPARE(f.word(), QStringLiteral("NOT PROVEN"));
        f.retype("L", "3 m");
        f.key(Qt::Key_Tab);
        QTRY_COMPARE(f.word(), QStringLiteral("OK"));
    }

    void whileSomethingIsTypedThereIsNoVerdict() {
        Answered f;
        f.retype("L", "9");
        QCOMPARE(f.word(), QStringLiteral("was OK"));
        f.key(Qt::Key_Tab);
        QTRY_COMPARE(f.word(), QStringLiteral("FAILS"));
        // Begun, and taken back letter by letter.
        f.retype("L", "3");
        QCOMPARE(f.word(), QStringLiteral("was FAILS"));
        f.keys(" m");
        f.key(Qt::Key_Tab);
        QTRY_COMPARE(f.word(), QStringLiteral("OK"));
    }

    void rowsThatAreNotTakenProveNothing() {
        Answered f;
        QTest::mouseClick(&f.screen().form().loads(), Qt::LeftButton);
        QTRY_VERIFY(f.screen().form().field(QStringLiteral("A1.layers")) != nullptr);
        views::ListEditor& list = *f.field("A1.layers").list();
        QVERIFY(list.rows().insertRow(0));
        const QModelIndex at = list.rows().index(0, 1);
        QVERIFY(!list.rows().setData(at, QStringLiteral("18 kg"), Qt::EditRole));
        QTRY_VERIFY(!list.told().isEmpty());
        QCOMPARE(f.screen().job().refused().size(), std::size_t(1));
        QCOMPARE(f.word(), QStringLiteral("NOT PROVEN"));
        QVERIFY(!f.field("A1.layers").refusal().isVisible()); // it stands below the rows
        QVERIFY(list.rows().setData(at, QStringLiteral("18"), Qt::EditRole));
        QTRY_VERIFY(f.screen().job().refused().empty());
    }

    void whatIsBeingTypedIsKeptWithTheRest() {
        Answered f;
        f.retype("L", "2.9");
        const QByteArray text = f.keep();
        QVERIFY2(text.contains("with  L = 2.9 m\n"), text.constData());
    }

    void answersThatAreNotKeptAreAskedAbout() {
        Answered f;
        {
            const Asked asked(QMessageBox::Cancel);
            QVERIFY(!f.window->close());
            QVERIFY(asked.was);
        }
        QVERIFY(!f.keep().isEmpty());
        const Asked asked(QMessageBox::Cancel);
        QVERIFY(f.window->close());
        QVERIFY(!asked.was);
    }
};

SPANWRIGHT_QT_TEST(FirstRefusalsTest);
#include "first_refusals_test.moc"

// SPDX-License-Identifier: MIT
// From the first page to a verdict, and from there to a job in a file, by key alone.
#include <QApplication>
#include <QComboBox>
#include <QDialog>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSettings>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>

#include "gui/app/desk_window.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/drawing_view.h"
#include "gui/views/first_picture.h"
#include "gui/views/first_screen.h"
#include "gui/views/first_standing.h"
#include "gui/views/grid_view.h"
#include "gui/views/list_editor.h"
#include "gui/views/question_form.h"
#include "tests/gui/app/first_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;
using models::FirstPicture;

class FirstScreenTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void fromThePictureToAVerdictAndAJobByKey() {
        First f;
        // To the header and back by the arrow keys, then into the joist.
        f.key(Qt::Key_Right);
        QVERIFY(f.screen().button(FirstPicture::Header)->hasFocus());
        f.key(Qt::Key_Left);
        f.key(Qt::Key_Return);
        QTRY_VERIFY(f.screen().rules().hasFocus());
        QStringList sheets;
        for (int i = 0; i < f.screen().rules().count(); ++i) sheets << f.screen().rules().item(i)->toolTip();
        QVERIFY2(sheets.contains(QStringLiteral("eu/floor-joist")) && sheets.contains(QStringLiteral("us/floor-joist")), qPrintable(sheets.join(u' ')));
        f.screen().rules().setCurrentRow(static_cast<int>(sheets.indexOf(QStringLiteral("eu/floor-joist"))));
        f.key(Qt::Key_Return);
        QTRY_VERIFY(f.field("L").input()->hasFocus());
        QCOMPARE(f.screen().standing().verdictWord(), QStringLiteral("NOT PROVEN"));
        QCOMPARE(f.screen().standing().open().count(), 7);
        QVERIFY(f.window->cautions().text().size() > 0);

        f.type("3.6");
        QCOMPARE(qobject_cast<QLineEdit*>(f.field("L").input())->text(), QStringLiteral("3.6 m"));
        QVERIFY(f.field("grade").input()->hasFocus());
        f.type("C24");
        QVERIFY(f.field("service").input()->hasFocus());
        f.type("1");
        f.type("A");
        // The load is refused in place, what was typed stays, and put right it is taken.
        auto* line = qobject_cast<QLineEdit*>(f.field("g_k").input());
        QVERIFY(line->hasFocus());
        f.type("0.5 kg/m^2");
        QCOMPARE(line->text(), QStringLiteral("0.5 kg/m^2"));
        QVERIFY(f.field("g_k").refusal().isVisible());
        QVERIFY2(f.field("g_k").refusal().text().contains(QStringLiteral("mend")), qPrintable(f.field("g_k").refusal().text()));
        f.key(Qt::Key_Backtab);
        QVERIFY(line->hasFocus());
        line->selectAll();
        f.type("0.5");
        QVERIFY(!f.field("g_k").refusal().isVisible());
        QVERIFY(f.field("g_k").from()->hasFocus());
        f.type("weighed by the builder");
        f.type("2.0");
        f.type("EN 1991-1-1 Table 6.2");
        QVERIFY(f.field("B_f").input()->hasFocus());
        QVERIFY(f.screen().standing().verdictWord() != QStringLiteral("OK"));
        f.type("5");
        QCOMPARE(f.screen().standing().open().count(), 0);
        const job::MemberView& view = f.screen().job().member();
        QVERIFY(view.verdict == job::Verdict::Ok || view.verdict == job::Verdict::Fails);
        QCOMPARE(f.screen().standing().verdictWord(), models::GridModel::verdictWord(view.verdict));
        // The governing check in plain words, with what helps.
        const QString said = f.screen().standing().said();
        QVERIFY(view.governing.has_value());
        QVERIFY2(said.contains(QString::fromStdString(view.checks[*view.governing].what)), qPrintable(said));
        QVERIFY2(said.contains(QString::fromStdString(view.checks[*view.governing].note)), qPrintable(said));
        QVERIFY(!f.screen().standing().findChildren<views::DrawingView*>().isEmpty());

        const QByteArray text = f.keep();
        QVERIFY(f.window->session().job().member(0).verdict == view.verdict);
        QVERIFY2(text.contains("with  g_k = 0.5 kN/m^2 -- weighed by the builder\n"), text.constData());
        QVERIFY2(text.contains("with  q_k = 2.0 kN/m^2 -- EN 1991-1-1 Table 6.2\n"), text.constData());
    }

    void assumptionsAreFoldedAndCanBeAnswered() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/floor-joist")));
        QVERIFY(!f.field("gamma_M").isVisible());
        f.screen().form().goTo(QStringLiteral("gamma_M"));
        QTRY_VERIFY(f.field("gamma_M").input()->hasFocus());
        // How it is built stands open: spans, spacing, section.
        for (const char* name : {"spans", "s", "b", "h"}) QVERIFY2(f.field(name).isVisible(), name);
        f.screen().form().goTo(QStringLiteral("s"));
        QTRY_VERIFY(f.field("s").input()->hasFocus());
        QVERIFY(qobject_cast<QLineEdit*>(f.field("s").input())->placeholderText().contains(QStringLiteral("400 mm")));
        f.type("600 mm");
        QVERIFY(f.screen().job().text().value().find("with  s = 600 mm") != std::string::npos);
    }

    void theSawnJoistComesFirst() {
        First f;
        f.key(Qt::Key_Return);
        QTRY_VERIFY(f.screen().rules().hasFocus());
        QCOMPARE(f.screen().rules().item(0)->toolTip(), QStringLiteral("eu/floor-joist"));
        QCOMPARE(f.screen().rules().item(f.screen().rules().count() - 1)->toolTip(), QStringLiteral("eu/bought-i-joist"));
    }

    void loadsAreWorkedOutLayerByLayer() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/roof-joist")));
        QTest::mouseClick(&f.screen().form().loads(), Qt::LeftButton);
        QTRY_VERIFY(f.screen().form().field(QStringLiteral("A1.layers")) != nullptr);
        QTRY_VERIFY(f.field("L").input()->hasFocus());
        f.type("3.1");
        f.type("C24");
        f.type("1");
        // What the loads carry is not asked; the next that is asked is of the loads.
        const auto go = [&](const char* name, const char* text) {
            f.screen().form().goTo(QString::fromUtf8(name));
            QTRY_VERIFY(f.field(name).input()->hasFocus());
            f.type(text);
        };
        const auto choose = [&](const char* name, const char* key) {
            auto* box = qobject_cast<QComboBox*>(f.field(name).input());
            QVERIFY(box != nullptr);
            QVERIFY2(box->findData(QString::fromUtf8(key)) > 0, key);
            box->setCurrentIndex(box->findData(QString::fromUtf8(key)));
        };
        go("A1.q_u", "0.4");
        go("A1.s_k", "1.8");
        f.screen().form().field(QStringLiteral("A1.s_k"))->from()->setFocus();
        f.type("invented map, zone 2");
        choose("A1.form", "two slopes");
        choose("A1.guards", "no");
        choose("A1.higher", "no");
        go("A1.v_b0", "25");
        choose("A1.terrain", "II");
        go("A1.z_e", "4.5");
        go("A1.b_w", "14");
        go("A1.A_w", "1.4");
        choose("A1.roof", "flat sharp");
        choose("A1.inside", "closed");
        QVERIFY2(f.screen().standing().open().count() == 0, qPrintable(f.screen().standing().said()));
        // Without layers nothing is proven, whatever the joist says for itself.
        QVERIFY(f.screen().standing().verdictWord() != QStringLiteral("OK"));
        QVERIFY2(f.screen().standing().said().contains(QStringLiteral("build-up is stated")), qPrintable(f.screen().standing().said()));
        views::ListEditor* list = f.field("A1.layers").list();
        QVERIFY(list != nullptr);
        QVERIFY(list->isVisible());
        const auto add = [&](const char* name, const char* t, const char* rho) {
            list->table().setFocus();
            QTest::keyClick(&list->table(), Qt::Key_Insert);
            const int row = list->table().currentIndex().row();
            QVERIFY(list->rows().setData(list->rows().index(row, 0), QString::fromUtf8(name), Qt::EditRole));
            QVERIFY(list->rows().setData(list->rows().index(row, 1), QString::fromUtf8(t), Qt::EditRole));
            QVERIFY(list->rows().setData(list->rows().index(row, 2), QString::fromUtf8(rho), Qt::EditRole));
            QVERIFY(list->rows().setData(list->rows().index(row, 3), QStringLiteral("1"), Qt::EditRole));
        };
        add("plywood", "18", "520");
        add("ceiling boards", "20", "420");
        QVERIFY2(!f.screen().standing().said().contains(QStringLiteral("build-up is stated")), qPrintable(f.screen().standing().said()));
        const auto text = f.screen().job().text();
        QVERIFY(text.ok());
        const QString job = QString::fromStdString(text.value());
        for (const char* row : {"member  A1 = eu/area-loads", "with  g_k = A1.g_k", "with  s_k = A1.s_even", "with  alpha = J1.alpha",
                                "plywood, 18, 520, 1, 0, layer\n", "with  s_k = 1.8 kN/m^2 -- invented map, zone 2"})
            QVERIFY2(job.contains(QString::fromUtf8(row)), qPrintable(job));
        QVERIFY(job.indexOf(QStringLiteral("member  A1")) < job.indexOf(QStringLiteral("member  J1")));
        // (18 mm of 520 and 20 mm of 420 kg/m^3) weigh 17.76 kg/m^2, on plan at 2 degrees 0.174 kN/m^2.
        QVERIFY2(f.screen().job().index(f.screen().job().rowOf("g_k")).data(models::FirstJob::ShownRole).toString().startsWith(QStringLiteral("0.174")),
                 qPrintable(f.screen().job().index(f.screen().job().rowOf("g_k")).data(models::FirstJob::ShownRole).toString()));
        // Kept and opened it stands as it stood here.
        const QString word = f.screen().standing().verdictWord();
        QVERIFY(f.window->keepFirstAs(f.dir.filePath(QStringLiteral("roof.spanjob"))));
        QCOMPARE(models::GridModel::verdictWord(f.window->session().job().verdict()), word);
    }

    void loadsAreTakenAwayAgain() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/floor-joist")));
        const int asked = f.screen().job().rowCount();
        QTest::mouseClick(&f.screen().form().loads(), Qt::LeftButton);
        QVERIFY(f.screen().job().hasLoads());
        QVERIFY(f.screen().form().field(QStringLiteral("A1.q_u")) != nullptr);
        QTest::mouseClick(&f.screen().form().loads(), Qt::LeftButton);
        QVERIFY(!f.screen().job().hasLoads());
        QCOMPARE(f.screen().job().rowCount(), asked);
        QVERIFY(f.screen().form().field(QStringLiteral("A1.q_u")) == nullptr);
        QVERIFY(f.screen().job().text().value().find("A1") == std::string::npos);
        QVERIFY(f.screen().job().index(f.screen().job().rowOf("g_k")).data(models::FirstJob::LinkRole).toString().isEmpty());
    }

    void backAndOnAgainLosesNothing() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("us/header")));
        f.type("6 ft");
        f.key(Qt::Key_Escape);
        QTRY_VERIFY(f.screen().button(FirstPicture::Joist)->isVisible());
        QVERIFY(f.screen().begin(QStringLiteral("us/header")));
        QCOMPARE(qobject_cast<QLineEdit*>(f.field("L_o").input())->text(), QStringLiteral("6 ft"));
    }

    void theListOfWhatIsOpenLeadsToTheQuestion() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/ridge-beam")));
        QListWidget& open = f.screen().standing().open();
        QVERIFY(open.count() > 8);
        open.setFocus();
        open.setCurrentRow(open.count() - 1);
        f.key(Qt::Key_Return);
        const QString name = open.currentItem()->data(Qt::UserRole).toString();
        QTRY_VERIFY(f.screen().form().field(name)->input()->hasFocus());
    }

    void aPlaceThatCannotBeWrittenLosesNothing() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/floor-joist")));
        f.type("3.6");
        QTimer::singleShot(0, [] {
            for (QWidget* w : QApplication::topLevelWidgets())
                if (auto* dialog = qobject_cast<QDialog*>(w); dialog != nullptr && dialog->isVisible()) dialog->reject();
        });
        QVERIFY(!f.window->keepFirstAs(f.dir.filePath(QStringLiteral("no/such/folder/a.spanjob"))));
        QVERIFY(!f.window->session().isOpen());
        QCOMPARE(qobject_cast<QLineEdit*>(f.field("L").input())->text(), QStringLiteral("3.6 m"));
    }

    void fitsSmallWindowsAndLargeLetters() {
        First f;
        f.window->setLetters(200);
        f.window->resize(1024, 720);
        QTest::qWait(30);
        for (const FirstPicture p : models::kFirstPictures) {
            const auto* b = f.screen().button(p);
            QVERIFY2(b->width() >= b->minimumSizeHint().width(), "a picture is squeezed");
        }
        f.window->setLetters(100);
        QVERIFY(f.screen().begin(QStringLiteral("eu/ply-web-beam")));
        f.window->setLetters(200);
        QTest::qWait(30);
        QVERIFY(f.field("L").input()->isVisible());
        QVERIFY(f.field("L").width() <= f.screen().form().viewport()->width());
        f.window->setLetters(100);
    }

    void standsAboveAnOpenJobAndLeadsBack() {
        First f;
        QVERIFY(f.window->openFile(QStringLiteral(SPANWRIGHT_SOURCE_DIR "/examples/packing-shed/packing-shed.spanjob")));
        QTRY_VERIFY(f.window->gridView().isVisible());
        f.window->action(QStringLiteral("new"))->trigger();
        QVERIFY(f.screen().isVisible());
        QVERIFY(!f.window->action(QStringLiteral("addMember"))->isEnabled());
        f.window->action(QStringLiteral("backToJob"))->trigger();
        QVERIFY(f.window->gridView().isVisible());
        QVERIFY(f.window->action(QStringLiteral("addMember"))->isEnabled());
    }
};

SPANWRIGHT_QT_TEST(FirstScreenTest);
#include "first_screen_test.moc"

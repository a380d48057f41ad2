// SPDX-License-Identifier: MIT
// Each picture, European and American, sawn, bought, glued and nailed: from the picture to the verdict and a kept job,
// by key alone, each question answered in the order in which it comes.
#include <QAbstractItemView>
#include <QApplication>
#include <QComboBox>
#include <QFileDialog>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QScrollBar>
#include <QTest>
#include <QTimer>

#include <map>

#include "gui/models/grid_model.h"
#include "gui/models/text.h"
#include "gui/views/first_standing.h"
#include "gui/views/grid_view.h"
#include "gui/views/list_editor.h"
#include "tests/gui/app/first_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::FirstPicture;

namespace {

using Answers = std::map<QString, QString>;

/// "L = 11 ft 8 in; size = 2x10"
Answers answersOf(const char* text) {
    Answers out;
    for (const QString& one : QString::fromUtf8(text).split(QStringLiteral("; "), Qt::SkipEmptyParts)) {
        const qsizetype at = one.indexOf(QStringLiteral(" = "));
        out[one.left(at)] = one.mid(at + 3);
    }
    return out;
}

views::QuestionField* fieldWithFocus() {
    for (QObject* o = QApplication::focusWidget(); o != nullptr; o = o->parent())
        if (auto* f = qobject_cast<views::QuestionField*>(o)) return f;
    return nullptr;
}

/// All of it lies within what is seen of the form.
bool inSight(const QWidget& w, const views::QuestionForm& form) {
    const QRect place(w.mapTo(form.viewport(), QPoint(0, 0)), w.size());
    return form.viewport()->rect().adjusted(0, -1, 0, 1).contains(place) || place.height() > form.viewport()->height();
}

} // namespace

class FirstWalkTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void fromPictureToVerdict_data() {
        QTest::addColumn<int>("picture");
        QTest::addColumn<QString>("sheet");
        QTest::addColumn<Answers>("answers");
        QTest::addColumn<QString>("kept"); // rows of the job's text
        const auto row = [](FirstPicture picture, const char* sheet, const char* answers, const char* kept) {
            QTest::newRow(sheet) << static_cast<int>(picture) << QString::fromUtf8(sheet) << answersOf(answers) << QString::fromUtf8(kept);
        };
        row(FirstPicture::Joist, "us/floor-joist",
            "L = 11 ft 8 in; size = 2x10; species = Douglas fir-larch; grade = #2; duration = occupancy; dead = 12; live = 40 psf; weigh = no; repetitive = "
            "yes; held = yes; s = 16",
            "with  L = 11 ft 8 in\nwith  size = 2x10\nwith  species = Douglas fir-larch\nwith  grade = #2\nwith  dead = 12 psf\nwith  s = 16 in\n");
        row(FirstPicture::Header, "us/header", "L_o = 8; size = 2x10; species = Hem-fir; grade = #2; w_D = 150; w_L = 0; weigh = yes; H_s = 7; a_s = 20",
            "with  L_o = 8 ft\nwith  H_s = 7 ft\n");
        row(FirstPicture::Post, "us/post",
            "L = 7 ft 6 in; size = 4x6; species = Douglas fir-larch; grade = #2; wall = outer; P_D = 900; P_L = 1 1/2 kip; p_W = 16; s = 16",
            "with  L = 7 ft 6 in\nwith  P_D = 900 lbf\nwith  s = 16 in\n");
        row(FirstPicture::Joist, "eu/bought-i-joist",
            "L = 3.6; b = 58; h = 300; dop = yes; service = 1; category = A; holes = none; stiffened = no; people = yes; M_k = 14; V_k = 14; EI = 900000; GA = "
            "3000; a_d = 400; a_r = 300; m_0 = 4.2; k_mod_G = 0.6; k_mod_Q = 0.8; k_mod_Gw = 0.4; k_mod_Qw = 0.7; gamma_M = 1.3; gamma_w = 1.2; k_def = 0.6; "
            "k_def_w = "
            "1.5; R_kn = 9; l_bn = 45; g_k = 0.55; q_k = 2.0",
            "with  EI = 900000 N*m^2\nwith  m_0 = 4.2 kg/m\nwith  l_bn = 45 mm\n");
        row(FirstPicture::Header, "eu/header", "L_o = 2.4; grade = C24; service = 2; category = H; w_G = 1.2; w_Q = 0; H_s = 2.2; n = 3; a_s = 0.5",
            "with  L_o = 2.4 m\nwith  category = H\n");
        row(FirstPicture::LevelBeam, "eu/ply-web-beam",
            "L = 3.6; panel = birch 18; grain = along; grade = C30; service = 2; category = E; glue = EN 301 I GP 0.3; place = shop; bond_log = yes; regraded "
            "= "
            "yes; knots = yes; stiffened = yes; w_G = 1; w_Q = 3",
            "with  panel = birch 18\nwith  glue = EN 301 I GP 0.3\n");
        row(FirstPicture::LevelBeam, "eu/nailed-ply-web-beam",
            "L = 3.6; panel = birch 18; grain = along; grade = C30; service = 2; category = E; regraded = yes; knots = yes; stiffened = yes; fastener = ring "
            "nail; "
            "d = 4; l = 100; s = 60; w_G = 1; w_Q = 3",
            "with  fastener = ring nail\nwith  s = 60 mm\n");
        row(FirstPicture::LevelBeam, "eu/glulam-beam", "L = 3.6; grade = GL24h; declared = yes; service = 2; category = E; w_G = 1; w_Q = 3",
            "with  grade = GL24h\n");
        row(FirstPicture::RidgeBeam, "eu/ridge-beam",
            "L = 4; h_1 = 300; h_r = 500; panel = birch 12; grain = along; grade = C24; service = 2; category = snow-low; glue = EN 301 I GP 0.3; place = "
            "shop; "
            "bond_log = yes; regraded = yes; knots = yes; stiffened = yes; w_G = 0.6; w_Q = 1.2; F_r_k = 12; drains = yes",
            "with  h_r = 500 mm\nwith  drains = yes\n");
        row(FirstPicture::Post, "eu/stud", "L = 2.2; grade = C24; service = 2; category = H; wall = outer; N_G = 5; N_Q = 8; p_W = 0.8; s = 600",
            "with  s = 600 mm\nwith  p_W = 0.8 kN/m^2\n");
    }

    void fromPictureToVerdict() {
        QFETCH(const int, picture);
        QFETCH(const QString, sheet);
        QFETCH(const Answers, answers);
        QFETCH(const QString, kept);
        First f;
        for (int i = 0; i < picture; ++i) f.key(Qt::Key_Right);
        QVERIFY(f.screen().button(static_cast<FirstPicture>(picture))->hasFocus());
        f.key(Qt::Key_Return);
        QTRY_VERIFY(f.screen().rules().hasFocus());
        while (f.screen().rules().currentItem()->toolTip() != sheet) {
            const int before = f.screen().rules().currentRow();
            f.key(Qt::Key_Down);
            QVERIFY2(f.screen().rules().currentRow() > before, "the sheet is not among those of the picture");
        }
        f.key(Qt::Key_Return);
        QTRY_VERIFY(fieldWithFocus() != nullptr);
        QCOMPARE(f.screen().standing().verdictWord(), QStringLiteral("NOT PROVEN"));

        QStringList met;
        for (int steps = 0; steps < 200; ++steps) {
            views::QuestionField* at = fieldWithFocus();
            if (at == nullptr) {
                // The assumptions are unfolded by Return when the way comes by.
                auto* button = qobject_cast<QAbstractButton*>(QApplication::focusWidget());
                if (button == nullptr || !f.screen().form().isAncestorOf(button)) break;
                if (button != &f.screen().form().loads() && button->isCheckable() && !button->isChecked()) f.key(Qt::Key_Return);
                f.key(Qt::Key_Tab);
                continue;
            }
            QVERIFY2(inSight(*at, f.screen().form()), qPrintable(at->name()));
            const auto answer = answers.find(at->name());
            if (answer != answers.end() && QApplication::focusWidget() == at->input()) {
                met << at->name();
                QTest::keyClicks(QApplication::focusWidget(), answer->second);
                if (auto* box = qobject_cast<QComboBox*>(at->input())) QCOMPARE(box->currentData().toString(), answer->second);
                const QString name = at->name();
                f.key(Qt::Key_Tab);
                QVERIFY2(!f.field(name.toUtf8()).refusal().isVisible(), qPrintable(name + QStringLiteral(": ") + f.field(name.toUtf8()).refusal().text()));
                continue;
            }
            f.key(Qt::Key_Tab);
        }
        for (const auto& [name, text] : answers)
            QVERIFY2(met.contains(name), qPrintable(QStringLiteral("never came to ") + name + QStringLiteral("; came to ") + met.join(u' ')));
        QStringList open;
        for (int i = 0; i < f.screen().standing().open().count(); ++i) open << f.screen().standing().open().item(i)->text();
        QVERIFY2(open.isEmpty(), qPrintable(open.join(u'\n')));
        const job::MemberView view = f.screen().job().member();
        QVERIFY2(view.verdict == job::Verdict::Ok || view.verdict == job::Verdict::Fails, qPrintable(f.screen().standing().said()));
        QCOMPARE(f.screen().standing().verdictWord(), models::GridModel::verdictWord(view.verdict));

        // On by key to what keeps the job; Return works it.
        for (int i = 0; i < 10; ++i) {
            auto* button = qobject_cast<QPushButton*>(QApplication::focusWidget());
            if (button != nullptr && button->text().contains(QStringLiteral("Keep as a job"))) break;
            f.key(Qt::Key_Tab);
        }
        bool asked = false;
        QTimer::singleShot(0, [&asked] {
            if (auto* dialog = qobject_cast<QFileDialog*>(QApplication::activeModalWidget())) {
                asked = true;
                dialog->reject();
            }
        });
        f.key(Qt::Key_Return);
        QVERIFY(asked);
        const QString text = QString::fromUtf8(f.keep());
        QVERIFY(f.window->session().job().member(0).verdict == view.verdict);
        for (const QString& line : kept.split(QLatin1Char('\n'), Qt::SkipEmptyParts)) QVERIFY2(text.contains(line + QLatin1Char('\n')), qPrintable(text));
    }

    void theReasonOfARefusalIsBroughtInSight() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/roof-joist")));
        QTest::mouseClick(&f.screen().form().loads(), Qt::LeftButton);
        f.window->resize(1280, 520);
        f.screen().form().goTo(QStringLiteral("A1.layers"));
        views::QuestionField& list = f.field("A1.layers");
        QTRY_VERIFY(list.input()->hasFocus());
        f.key(Qt::Key_Insert);
        // The list's head stands at the top, so that what is told below its rows has room only when it is brought there.
        f.screen().form().verticalScrollBar()->setValue(list.mapTo(f.screen().form().widget(), QPoint(0, 0)).y() + 60 - f.screen().form().viewport()->height());
        (void)list.list()->rows().setData(list.list()->rows().index(0, 1), QStringLiteral("18 kg"), Qt::EditRole);
        QVERIFY(!list.list()->told().isEmpty());
        QTRY_VERIFY(inSight(list.reason(), f.screen().form()));
        // Of a line too, whose place the keys have left already.
        f.screen().form().goTo(QStringLiteral("A1.v_b0"));
        QTRY_VERIFY(f.field("A1.v_b0").input()->hasFocus());
        f.type("25 kg");
        QVERIFY(f.field("A1.v_b0").refusal().isVisible());
        QTRY_VERIFY(inSight(f.field("A1.v_b0").reason(), f.screen().form()));
        QVERIFY(!f.field("A1.v_b0").input()->hasFocus());
    }

    void blanksBelongToAWordThatIsBeingTyped() {
        First f;
        QVERIFY(f.screen().begin(QStringLiteral("eu/ply-web-beam")));
        f.screen().form().goTo(QStringLiteral("glue"));
        auto* box = qobject_cast<QComboBox*>(f.field("glue").input());
        QTRY_VERIFY(box->hasFocus());
        f.keys("EN 301 II");
        QCOMPARE(box->currentData().toString(), QStringLiteral("EN 301 II GP 0.3"));
        QVERIFY(!box->view()->isVisible());
        // A blank alone opens the choice.
        QApplication::setKeyboardInputInterval(0);
        f.key(Qt::Key_Space);
        QTRY_VERIFY(box->view()->isVisible());
        box->hidePopup();
    }
};

SPANWRIGHT_QT_TEST(FirstWalkTest);
#include "first_walk_test.moc"

// SPDX-License-Identifier: MIT
// Letters of twice the size, small and large windows, light and dark: no label is clipped; everything has a name and a role.
#include <QAbstractButton>
#include <QAccessible>
#include <QAction>
#include <QApplication>
#include <QCheckBox>
#include <QComboBox>
#include <QDockWidget>
#include <QLabel>
#include <QScrollArea>
#include <QScrollBar>
#include <QSettings>
#include <QStyle>
#include <QStyleOptionComboBox>
#include <QTabBar>
#include <QTemporaryDir>
#include <QTest>

#include "engine/io/files.h"
#include "gui/app/desk_window.h"
#include "gui/app/print_dialog.h"
#include "gui/views/plots_panel.h"
#include "gui/views/sentence_bar.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;

namespace {

struct Desk {
    QTemporaryDir dir;
    std::unique_ptr<DeskWindow> window;

    Desk() {
        QSettings().clear();
        io::Disk disk;
        const std::string sheet = std::string(shelf::kSheet) +
                                  "part    Diagram\nplot    load.Q*q*x*(L - x)/2 [kN*m], x from 0 m to L -- moment along the board, for each of its loads\n";
        for (const auto& [name, text] :
             {std::pair<const char*, std::string>{"job.spanjob", shelf::kJob}, {"shelf.spansheet", sheet}, {"post.spansheet", shelf::kOther}})
            QVERIFY(disk.write(dir.filePath(QLatin1String(name)).toStdString(), text).ok());
        window = std::make_unique<DeskWindow>(dir.path(), dir.filePath(QStringLiteral("journal")));
        window->openFile(dir.filePath(QStringLiteral("job.spanjob")));
        window->show();
        QVERIFY(QTest::qWaitForWindowExposed(window.get()));
        window->goTo({"S1", "bending"});
        window->plots().refresh(true);
    }
    ~Desk() {
        window->setLetters(100);
        window->setTheme(app::Theme::Light);
    }
};

QString nameOf(const QWidget& w) { return QStringLiteral("%1 \"%2\"").arg(QLatin1String(w.metaObject()->className()), w.objectName()); }

/// What a widget that says something in words lacks of the room it needs; empty when nothing.
QString lacks(const QWidget& w) {
    const auto less = [&](int has, int needs, const char* what, const QString& words) {
        return has + 1 >= needs ? QString()
                                : QStringLiteral("%1 has %2 of %3 %4 for \"%5\"").arg(nameOf(w)).arg(has).arg(needs).arg(QLatin1String(what), words);
    };
    if (const auto* l = qobject_cast<const QLabel*>(&w)) {
        if (l->text().isEmpty()) return {};
        if (l->wordWrap()) return less(l->height(), l->heightForWidth(l->width()), "high", l->text());
        const QString wide = less(l->width(), l->minimumSizeHint().width(), "wide", l->text());
        return wide.isEmpty() ? less(l->height(), l->minimumSizeHint().height(), "high", l->text()) : wide;
    }
    if (const auto* s = qobject_cast<const views::SentenceButton*>(&w)) return less(s->height(), s->heightForWidth(s->width()), "high", s->text());
    if (const auto* b = qobject_cast<const QAbstractButton*>(&w)) {
        if (b->text().isEmpty()) return {};
        const QFontMetrics fm(b->font());
        const QString wide = less(b->width(), fm.size(Qt::TextShowMnemonic, b->text()).width(), "wide", b->text());
        return wide.isEmpty() ? less(b->height(), fm.height(), "high", b->text()) : wide;
    }
    if (const auto* c = qobject_cast<const QComboBox*>(&w)) {
        QStyleOptionComboBox option;
        option.initFrom(c);
        option.editable = c->isEditable();
        const QRect field = c->style()->subControlRect(QStyle::CC_ComboBox, &option, QStyle::SC_ComboBoxEditField, c);
        QString bad = less(field.height(), c->fontMetrics().height() - 2, "high", c->currentText());
        for (int i = 0; i < c->count() && bad.isEmpty(); ++i)
            bad = less(field.width(), c->fontMetrics().horizontalAdvance(c->itemText(i)), "wide", c->itemText(i));
        return bad;
    }
    if (const auto* t = qobject_cast<const QTabBar*>(&w)) {
        QString bad;
        for (int i = 0; i < t->count() && bad.isEmpty(); ++i) {
            bad = less(t->tabRect(i).width(), t->fontMetrics().horizontalAdvance(t->tabText(i)), "wide", t->tabText(i));
            if (bad.isEmpty()) bad = less(t->height(), t->fontMetrics().height(), "high", t->tabText(i));
        }
        return bad;
    }
    return {};
}

/// A widget must also lie within its parent, unless that scrolls.
bool scrolled(const QWidget& w) {
    for (const QWidget* p = w.parentWidget(); p != nullptr; p = p->parentWidget())
        if (qobject_cast<const QAbstractScrollArea*>(p) != nullptr) return true;
    return false;
}

QStringList clipped(QWidget& top) {
    QStringList bad;
    for (const QWidget* w : top.findChildren<QWidget*>()) {
        if (!w->isVisible()) continue;
        if (const QString why = lacks(*w); !why.isEmpty()) bad << why;
        if (const auto* area = qobject_cast<const QScrollArea*>(w); area != nullptr && area->widget() != nullptr &&
                                                                    area->horizontalScrollBarPolicy() == Qt::ScrollBarAlwaysOff &&
                                                                    area->widget()->width() > area->viewport()->width())
            bad << QStringLiteral("%1 cuts what is on it at %2 of %3").arg(nameOf(*w)).arg(area->viewport()->width()).arg(area->widget()->width());
        const QWidget* parent = w->parentWidget();
        const bool words = qobject_cast<const QLabel*>(w) != nullptr || qobject_cast<const QAbstractButton*>(w) != nullptr;
        if (words && parent != nullptr && !scrolled(*w) && !w->isWindow() && qobject_cast<const QTabBar*>(parent) == nullptr &&
            !parent->rect().adjusted(-1, -1, 1, 1).contains(w->geometry()))
            bad << QStringLiteral("%1 stands outside its parent").arg(nameOf(*w));
    }
    bad.removeDuplicates();
    return bad;
}

/// The same when layouts have come to rest, however slow the machine is.
QStringList clippedAtRest(QWidget& top) {
    QStringList bad;
    for (int i = 0; i < 60; ++i) {
        QTest::qWait(20);
        bad = clipped(top);
        if (bad.isEmpty()) break;
    }
    return bad;
}

/// Every widget that is shown has a role; every one that can be worked with a name as well.
void nameless(QAccessibleInterface* node, QStringList& bad, int depth, int& seen) {
    if (node == nullptr || depth > 16) return;
    if (node->state().invisible) return;
    // The layout of docks keeps a bar of tabs without any tab out of sight, for later.
    if (const auto* tabs = qobject_cast<const QTabBar*>(node->object()); tabs != nullptr && tabs->count() == 0) return;
    ++seen;
    const auto* widget = qobject_cast<QWidget*>(node->object());
    const QString type = node->object() != nullptr ? QLatin1String(node->object()->metaObject()->className()) : QStringLiteral("part");
    if (node->role() == QAccessible::NoRole) bad << type + QStringLiteral(" has no role");
    const bool works = widget != nullptr && widget->focusPolicy() != Qt::NoFocus && widget->isVisible() && widget->isEnabled();
    if (works && node->text(QAccessible::Name).trimmed().isEmpty()) bad << type + QStringLiteral(" has no name");
    for (int i = 0; i < std::min(node->childCount(), 80); ++i) nameless(node->child(i), bad, depth + 1, seen);
}

} // namespace

class LettersTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void noLabelIsClipped() {
        Desk d;
        for (const int letters : {100, 200}) {
            d.window->setLetters(letters);
            for (const app::Theme theme : {app::Theme::Light, app::Theme::Dark}) {
                d.window->setTheme(theme);
                for (const QSize size : {QSize(1280, 720), QSize(1920, 1080), QSize(3840, 2160)}) {
                    d.window->resize(size);
                    d.window->plots().refresh(true);
                    const QStringList bad = clippedAtRest(*d.window);
                    QVERIFY2(bad.isEmpty(),
                             qPrintable(QStringLiteral("%1 %, %2x%3: ").arg(letters).arg(size.width()).arg(size.height()) + bad.join(QStringLiteral("; "))));
                }
            }
        }
    }

    void docksGrowWithTheLetters() {
        Desk d;
        std::vector<int> before;
        for (const QDockWidget* dock : d.window->findChildren<QDockWidget*>()) {
            QVERIFY(dock->titleBarWidget() != nullptr);
            before.push_back(dock->titleBarWidget()->findChild<QLabel*>()->sizeHint().height());
        }
        QVERIFY(!before.empty());
        QDockWidget* working = nullptr;
        for (QDockWidget* dock : d.window->findChildren<QDockWidget*>())
            if (dock->objectName() == QStringLiteral("working")) working = dock;
        QVERIFY(working != nullptr);
        d.window->resize(1500, 900);
        QTest::qWait(20);
        const int wide = working->width();
        d.window->setLetters(200);
        QTRY_VERIFY(working->width() > wide * 1.2);
        QVERIFY(working->width() <= d.window->width() * 0.4);
        std::size_t i = 0;
        for (const QDockWidget* dock : d.window->findChildren<QDockWidget*>())
            QVERIFY(dock->titleBarWidget()->findChild<QLabel*>()->sizeHint().height() > before[i++] * 1.6);
        d.window->setLetters(100);
        QTRY_VERIFY(working->width() <= wide + 4);
    }

    void theSentenceGoesOnInFurtherLines() {
        Desk d;
        d.window->setLetters(200);
        d.window->resize(1280, 720);
        QTest::qWait(40);
        const QAbstractButton& sentence = d.window->sentence().sentence();
        QVERIFY(sentence.heightForWidth(300) > sentence.heightForWidth(3000));
        // When layouts have come to rest, however slow the machine is.
        QTRY_VERIFY(sentence.height() >= sentence.heightForWidth(sentence.width()));
    }

    void theDialogOnPaperClipsNothingEither() {
        Desk d;
        d.window->setLetters(200);
        app::PrintDialog dialog(d.window->session().otherCopy(), std::nullopt, QString(), d.window.get());
        dialog.resize(1200, 680);
        dialog.show();
        QVERIFY(QTest::qWaitForWindowExposed(&dialog));
        QTRY_VERIFY_WITH_TIMEOUT(dialog.book(), 60'000);
        // All that it may have to say at once.
        dialog.setOutOfDate(QStringLiteral("The job has been changed since these pages were made."), [&] { return d.window->session().otherCopy(); });
        const QStringList bad = clippedAtRest(dialog);
        QVERIFY2(bad.isEmpty(), qPrintable(bad.join(QStringLiteral("; "))));
        QVERIFY(dialog.minimumSizeHint().width() <= 1280);
        QVERIFY(dialog.minimumSizeHint().height() <= 720);
        QStringList unnamed;
        int seen = 0;
        nameless(QAccessible::queryAccessibleInterface(&dialog), unnamed, 0, seen);
        unnamed.removeDuplicates();
        QVERIFY2(unnamed.isEmpty(), qPrintable(unnamed.join(QStringLiteral("; "))));
        QVERIFY(seen > 10);
    }

    void everythingHasARoleAndWhatCanBeWorkedAName() {
        Desk d;
        for (const char* filter : {"filter0", "filter1"}) {
            d.window->action(QLatin1String(filter))->trigger();
            d.window->sentence().setOpen(true);
            QTest::qWait(20);
            QStringList bad;
            int seen = 0;
            nameless(QAccessible::queryAccessibleInterface(d.window.get()), bad, 0, seen);
            bad.removeDuplicates();
            QVERIFY2(bad.isEmpty(), qPrintable(bad.join(QStringLiteral("; "))));
            QVERIFY(seen > 60);
        }
    }
};

SPANWRIGHT_QT_TEST(LettersTest);
#include "letters_test.moc"

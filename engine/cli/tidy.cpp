// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/base/text.h"
#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/syntax/document.h"

namespace spanwright::cli {

int perform(const TidyOptions& o, const Surroundings& around) {
    const base::Result<std::string, io::IoError> bytes = around.files.read(o.file);
    if (!bytes) {
        printDiagnostic(faultOf(bytes.error()), {}, around);
        return kNotRead;
    }
    if (!base::isUtf8(bytes.value()) || bytes.value().find('\0') != std::string::npos) {
        printDiagnostic(faultOf(diag::Code::FileNotText, o.file, "the file is no UTF-8 text; it is left as it stands", "save it as UTF-8"), {}, around);
        return kNotRead;
    }
    const syntax::FileKind kind = o.file.ends_with(".spanjob") ? syntax::FileKind::Job : syntax::FileKind::Sheet;
    const std::string aligned = syntax::tidy(syntax::Document::read(o.file, kind, bytes.value()));
    if (aligned == bytes.value()) {
        around.out << o.file << " is tidy\n";
        return kAllOk;
    }
    if (!writeFile(o.file, aligned, around)) return kNotRead;
    around.out << o.file << " aligned\n";
    return kAllOk;
}

} // namespace spanwright::cli

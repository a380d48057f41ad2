// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"

namespace spanwright::cli {

int perform(const StartOptions& o, const Surroundings& around) {
    const std::string name = io::fileNameOf(o.job);
    const std::string path = name.find('.') == std::string::npos ? o.job + ".spanjob" : o.job;
    if (around.files.exists(path)) {
        printDiagnostic(faultOf(diag::Code::FileNotWritable, path, "the file is there already and is left as it stands",
                                "name another file, or add a `member` row to this one"),
                        {}, around);
        return kNotRead;
    }
    job::Options options;
    options.library = around.library;
    const base::Result<std::string, diag::Diagnostic> text = job::startJob(around.files, o.sheet, options);
    if (!text) {
        printDiagnostic(text.error(), {}, around);
        return kNotRead;
    }
    if (!writeFile(path, text.value(), around)) return kNotRead;
    around.out << "wrote " << path << "; fill in what it asks, then: spanwright check " << path << "\n";
    return kAllOk;
}

} // namespace spanwright::cli

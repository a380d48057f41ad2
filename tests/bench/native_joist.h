// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

namespace spanwright::bench {

/// A floor joist of closed formulas as a sheet would have it: combinations, factors from tables, a part that applies
/// or not, five checks.
inline constexpr const char* kJoistSheet = R"(sheet joist
table grades by grade
grade, f_m [N/mm^2], f_v [N/mm^2], E [N/mm^2]
C18, 18, 3.4, 9000
C24, 24, 4, 11000
C27, 27, 4, 11500
C30, 30, 4, 12000
end
table combinations by name
name, G, Q, k
lasting, 1.35, 0, 0.6
usual, 1.35, 1.5, 0.8
light, 1, 1.5, 0.8
brief, 1.15, 1.5, 0.9
end
given L = 4 m from 1 m to 9 m
given s = 400 mm
given b = 60 mm
given h = 220 mm from 90 mm to 400 mm
choose grade = C24 from grades
given g_k [kN/m^2] = 0.6 kN/m^2
given q_k [kN/m^2] = 2 kN/m^2
given rho [kN/m^3] = 4.2 (kN/m^3)
given gamma_M = 1.3
given psi_2 = 0.3
given k_def = 0.6
given l_b = 60 mm
given f_c [N/mm^2] = 2.5 N/mm^2
given notch = 0 mm
each uls in combinations
derive A [mm^2] = b*h
derive W [mm^3] = b*h^2/6
derive I [mm^4] = b*h^3/12
derive g [kN/m] = g_k*s + rho*A
derive q [kN/m] = q_k*s
derive w_d [kN/m] = uls.G*g + uls.Q*q
derive M_d [kN*m] = w_d*L^2/8
derive V_d [kN] = w_d*L/2
derive k_h = if(h < 150 mm, min(sqrt(sqrt(150 mm/h)), 1.3), 1)
derive f_md [N/mm^2] = k_h*uls.k*grade.f_m/gamma_M
derive f_vd [N/mm^2] = uls.k*grade.f_v/gamma_M
derive sigma_m [N/mm^2] = M_d/W
derive tau [N/mm^2] = 1.5*V_d/(0.67*A)
check bending: sigma_m <= f_md
check shear: tau <= f_vd
check bearing: V_d/(b*l_b) <= uls.k*1.5*f_c/gamma_M
derive w_G [mm] = 5*g*L^4/(384*grade.E*I)
derive w_Q [mm] = 5*q*L^4/(384*grade.E*I)
derive w_inst [mm] = w_G + w_Q
derive w_fin [mm] = w_G*(1 + k_def) + w_Q*(1 + psi_2*k_def)
check now: w_inst <= L/300
check later: w_fin <= L/200
part Notch only if notch > 0 mm
derive h_n [mm] = h - notch
check at_notch: 1.5*V_d/(b*h_n) <= 0.5*f_vd
)";

struct JoistAnswer {
    double M_d = 0, w_fin = 0, utilisation = 0;
    bool passes = false;
};
/// The same calculation written by hand, everything that depends on h for each h.
void joistSheetByHand(const double* h, std::size_t n, JoistAnswer* out);

} // namespace spanwright::bench

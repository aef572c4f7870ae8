/// Counts of plates and litters that several tests use.
#pragma once

#include <vector>

#include "statistics/differences.hpp"

namespace budwood::statistics::test {

/// Seeds of Orobanche that germinated, by plate (Crowder 1978, Appl. Statist. 27:34-37, Table 3, as
/// in R aod::orob2, agridat::crowder.seeds and the BUGS Seeds example): two kinds of seed on
/// extracts of two roots.
inline const std::vector<Group> o75_bean = {{10, 39}, {23, 62}, {23, 81}, {26, 51}, {17, 39}};
inline const std::vector<Group> o75_cucumber = {{5, 6},   {53, 74}, {55, 72},
                                                {32, 51}, {46, 79}, {10, 13}};
inline const std::vector<Group> o73_bean = {{8, 16}, {10, 30}, {8, 28}, {23, 45}, {0, 4}};
inline const std::vector<Group> o73_cucumber = {{3, 12}, {22, 41}, {15, 30}, {32, 51}, {3, 7}};

/// Young alive at 21 days of those alive at 4, by litter (Weil 1970, Food Cosmet. Toxicol.
/// 8:177-182, as in R aod::rats).
inline const std::vector<Group> control_litters = {
    {13, 13}, {12, 12}, {9, 9}, {9, 9},   {8, 8}, {8, 8}, {12, 13}, {11, 12},
    {9, 10},  {9, 10},  {8, 9}, {11, 13}, {4, 5}, {5, 7}, {7, 10},  {7, 10}};
inline const std::vector<Group> treated_litters = {
    {12, 12}, {11, 11}, {10, 10}, {9, 9}, {10, 11}, {9, 10}, {9, 10}, {8, 9},
    {8, 9},   {4, 5},   {7, 9},   {4, 7}, {5, 10},  {3, 6},  {3, 10}, {0, 7}};

}  // namespace budwood::statistics::test

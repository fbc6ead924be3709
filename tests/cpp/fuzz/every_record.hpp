#pragma once

#include <array>
#include <string_view>

#include "enginewright/balance.hpp"
#include "enginewright/crank_train.hpp"
#include "enginewright/cylinders.hpp"
#include "enginewright/fasteners.hpp"
#include "enginewright/fits.hpp"
#include "enginewright/job.hpp"
#include "enginewright/job/assembly.hpp"
#include "enginewright/journals.hpp"
#include "enginewright/matching.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/measure/gauge_study.hpp"
#include "enginewright/measure/outliers.hpp"
#include "enginewright/measure/propagate.hpp"
#include "enginewright/measure/risk.hpp"
#include "enginewright/measure/settle.hpp"
#include "enginewright/reciprocating.hpp"
#include "enginewright/rings.hpp"
#include "enginewright/stats.hpp"
#include "enginewright/table.hpp"
#include "enginewright/units.hpp"

/// Every record that Python sees, by name; a test holds the list to the bindings.
namespace enginewright::fuzzing {

using RoundTrip = void (*)(std::string_view text);

/// Reads a record from JSON and, where it is one, writes it and reads it again.
template <Record R>
void round_trip(std::string_view text);

struct NamedRecord {
    std::string_view name;
    RoundTrip round_trip;
    RoundTrip of_defaults;
};

template <Record R>
void round_trip_of_defaults(std::string_view);

template <Record R>
constexpr NamedRecord named(std::string_view name)
{
    return {name, &round_trip<R>, &round_trip_of_defaults<R>};
}

inline constexpr std::array every_record{
    // clang-format off
    named<balance::BalanceEntry>("balance.BalanceEntry"),
    named<balance::BalanceRecord>("balance.BalanceRecord"),
    named<balance::BearingForce>("balance.BearingForce"),
    named<balance::Correction>("balance.Correction"),
    named<balance::CorrectionPlan>("balance.CorrectionPlan"),
    named<balance::CorrectionPlaneTolerance>("balance.CorrectionPlaneTolerance"),
    named<balance::Grade>("balance.Grade"),
    named<balance::Ground>("balance.Ground"),
    named<balance::Hole>("balance.Hole"),
    named<balance::HoleDepth>("balance.HoleDepth"),
    named<balance::Indexed>("balance.Indexed"),
    named<balance::Influence>("balance.Influence"),
    named<balance::Operation>("balance.Operation"),
    named<balance::PlanSimulation>("balance.PlanSimulation"),
    named<balance::PlaneReading>("balance.PlaneReading"),
    named<balance::ResidualVerdict>("balance.ResidualVerdict"),
    named<balance::Response>("balance.Response"),
    named<balance::Runs>("balance.Runs"),
    named<balance::Site>("balance.Site"),
    named<balance::Slug>("balance.Slug"),
    named<balance::Split>("balance.Split"),
    named<balance::Stage>("balance.Stage"),
    named<balance::StageFinding>("balance.StageFinding"),
    named<balance::StaticCouple>("balance.StaticCouple"),
    named<balance::ToleranceSplit>("balance.ToleranceSplit"),
    named<balance::Traverse>("balance.Traverse"),
    named<crank_train::CrankTrainGeometry>("crank_train.CrankTrainGeometry"),
    named<crank_train::Dwell>("crank_train.Dwell"),
    named<crank_train::Harmonics>("crank_train.Harmonics"),
    named<crank_train::PistonSpeed>("crank_train.PistonSpeed"),
    named<crank_train::RodClearance>("crank_train.RodClearance"),
    named<cylinders::BoreForm>("cylinders.BoreForm"),
    named<cylinders::CircleFit>("cylinders.CircleFit"),
    named<cylinders::DeckFinding>("cylinders.DeckFinding"),
    named<cylinders::DeckFlatness>("cylinders.DeckFlatness"),
    named<cylinders::DryLinerFit>("cylinders.DryLinerFit"),
    named<cylinders::FinishBores>("cylinders.FinishBores"),
    named<cylinders::LinerShims>("cylinders.LinerShims"),
    named<cylinders::LinerStanding>("cylinders.LinerStanding"),
    named<cylinders::OversizePlan>("cylinders.OversizePlan"),
    named<cylinders::PistonSelection>("cylinders.PistonSelection"),
    named<cylinders::Roundness>("cylinders.Roundness"),
    named<cylinders::ShimStack>("cylinders.ShimStack"),
    named<cylinders::SleeveOption>("cylinders.SleeveOption"),
    named<fasteners::BoltReuse>("fasteners.BoltReuse"),
    named<fasteners::HotPreload>("fasteners.HotPreload"),
    named<fasteners::Joint>("fasteners.Joint"),
    named<fasteners::PreloadRange>("fasteners.PreloadRange"),
    named<fasteners::PropertyClass>("fasteners.PropertyClass"),
    named<fasteners::Thread>("fasteners.Thread"),
    named<fits::Assembly>("fits.Assembly"),
    named<fits::Fit>("fits.Fit"),
    named<fits::JointStress>("fits.JointStress"),
    named<fits::Limits>("fits.Limits"),
    named<fits::Loosening>("fits.Loosening"),
    named<fits::Material>("fits.Material"),
    named<fits::PressFit>("fits.PressFit"),
    named<job::Assembly>("job.Assembly"),
    named<job::CheckInfo>("job.CheckInfo"),
    named<job::SpunStage>("job.SpunStage"),
    named<journals::ClearanceFinding>("journals.ClearanceFinding"),
    named<journals::ClearanceRule>("journals.ClearanceRule"),
    named<journals::FilletClearance>("journals.FilletClearance"),
    named<journals::JournalForm>("journals.JournalForm"),
    named<journals::OffsetGrind>("journals.OffsetGrind"),
    named<journals::RegrindPlan>("journals.RegrindPlan"),
    named<journals::Runout>("journals.Runout"),
    named<journals::ShellCrush>("journals.ShellCrush"),
    named<journals::ShellSelection>("journals.ShellSelection"),
    named<journals::ShellSpread>("journals.ShellSpread"),
    named<journals::SurfaceFinish>("journals.SurfaceFinish"),
    named<journals::Throws>("journals.Throws"),
    named<journals::ThrustPlan>("journals.ThrustPlan"),
    named<matching::Assignment>("matching.Assignment"),
    named<matching::Choice>("matching.Choice"),
    named<matching::Lightened>("matching.Lightened"),
    named<matching::MassPlan>("matching.MassPlan"),
    named<matching::Pairing>("matching.Pairing"),
    named<matching::Removal>("matching.Removal"),
    named<matching::RodEnds>("matching.RodEnds"),
    named<matching::RodPlan>("matching.RodPlan"),
    named<matching::RodRemoval>("matching.RodRemoval"),
    named<measure::Budget>("measure.Budget"),
    named<measure::BudgetRow>("measure.BudgetRow"),
    named<measure::Gauge>("measure.Gauge"),
    named<measure::GaugeStudy>("measure.GaugeStudy"),
    named<measure::Outliers>("measure.Outliers"),
    named<measure::Risk>("measure.Risk"),
    named<measure::Settle>("measure.Settle"),
    named<measure::Simulation>("measure.Simulation"),
    named<measure::StudyRow>("measure.StudyRow"),
    named<measure::Verdict>("measure.Verdict"),
    named<reciprocating::BalanceFactor>("reciprocating.BalanceFactor"),
    named<reciprocating::Bobweight>("reciprocating.Bobweight"),
    named<reciprocating::BobweightNeed>("reciprocating.BobweightNeed"),
    named<reciprocating::BobweightTolerance>("reciprocating.BobweightTolerance"),
    named<reciprocating::EngineLayout>("reciprocating.EngineLayout"),
    named<reciprocating::Firing>("reciprocating.Firing"),
    named<reciprocating::RodSplit>("reciprocating.RodSplit"),
    named<reciprocating::Shaking>("reciprocating.Shaking"),
    named<reciprocating::ShakingAt>("reciprocating.ShakingAt"),
    named<rings::GapPlan>("rings.GapPlan"),
    named<rings::GapRule>("rings.GapRule"),
    named<rings::LeakArea>("rings.LeakArea"),
    named<rings::RuleGap>("rings.RuleGap"),
    named<rings::SecondRing>("rings.SecondRing"),
    named<stats::Capability>("stats.Capability"),
    named<stats::Chart>("stats.Chart"),
    named<stats::Constants>("stats.Constants"),
    named<stats::DriftChart>("stats.DriftChart"),
    named<stats::Signal>("stats.Signal"),
    named<stats::Summary>("stats.Summary"),
    named<stats::Trend>("stats.Trend"),
    named<table::CardKey>("table.CardKey"),
    named<table::ColumnSpec>("table.ColumnSpec"),
    named<table::Limit>("table.Limit"),
    named<table::NotChecked>("table.NotChecked"),
    named<table::VocabularyWord>("table.VocabularyWord"),
    named<units::Amount>("units.Amount"),
    named<units::Header>("units.Header"),
    named<units::Unit>("units.Unit"),
    // clang-format on
};

}  // namespace enginewright::fuzzing

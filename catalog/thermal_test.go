package catalog

import (
	"math"
	"testing"

	"example.org/dray/quantity"
)

const thermalHeader = "id,nominal_voltage,no_load_speed,no_load_current,stall_current,rated_torque,rated_speed,rated_current,diameter [mm],length [mm],mass,winding_limit,insulation_class,winding_to_housing,housing_to_air,winding_time_constant,housing_time_constant\n"

// A motor of R = 2.4 Ω, I0 = 0.2 A, k = (12 − 0.48)/(5000 rpm) = 0.0220016 V·s/rad.
const thermalBasics = "m,12,5000,0.2,5,"

func TestListedThermalDataStandAsTheyAre(t *testing.T) {
	m := oneMotor(t, thermalHeader+thermalBasics+",,,,,,155,,4.6,14,12,700\n")
	within(t, "Rwh", m.WindingToHousing.Value, 4.6, 1e-12)
	within(t, "Rha", m.HousingToAir.Value, 14, 1e-12)
	within(t, "Cw = τw/Rwh", m.WindingCapacity.Value, 12/4.6, 1e-12)
	within(t, "Ch = τh/Rha", m.HousingCapacity.Value, 50, 1e-12)
	if m.WindingLimit.Value != 155 || m.WindingLimit.Basis != quantity.Listed || m.WindingToHousing.Basis != quantity.Listed || m.WindingCapacity.Basis != quantity.Derived {
		t.Errorf("bases: %v %v %v", m.WindingLimit, m.WindingToHousing, m.WindingCapacity)
	}
}

// The derived resistances bring the winding exactly to its limit at the rating.
func TestTheContinuousRatingEndsAtTheWindingLimit(t *testing.T) {
	for name, row := range map[string]string{
		"rated current and speed": ",4000,1.2,,,,,F,,,,\n",
		"rated current alone":     ",,1.2,,,,,F,,,,\n",
		"rated torque alone":      "0.0220015793,,,,,,,F,,,,\n", // k·(1.2 − 0.2)
	} {
		t.Run(name, func(t *testing.T) {
			m := oneMotor(t, thermalHeader+thermalBasics+row)
			const current = 1.2
			k, i0 := float64(m.Constant.Value), 0.2
			speed := (12 - current*2.4) / k
			if name == "rated current and speed" {
				speed = 4000 * rpm
			}
			inside, outside := float64(m.WindingToHousing.Value), float64(m.HousingToAir.Value)
			hot := 2.4 * (234.5 + 145) / (234.5 + 25) // class F, 145 °C mean
			rise := current*current*hot*(inside+outside) + k*i0*speed*outside
			within(t, "rise", rise, 120, 1e-6)
			within(t, "Rha/Rwh", outside/inside, 3, 1e-9)
			if m.WindingToHousing.Basis != quantity.Derived || m.WindingCapacity.Known() {
				t.Errorf("bases: %+v %+v", m.WindingToHousing, m.WindingCapacity)
			}
		})
	}
}

// By hand: d = 37 mm, l = 57 mm, A = π·d·l + π·d²/2 = 8.77604e-3 m².
func TestThermalEstimateByHand(t *testing.T) {
	m := oneMotor(t, thermalHeader+thermalBasics+",,,37,57,210 g,,,,,,\n")
	within(t, "Rha = 1/(12·A)", m.HousingToAir.Value, 9.49555, 1e-4)
	within(t, "Rwh = Rha/3", m.WindingToHousing.Value, 9.49555/3, 1e-4)
	within(t, "Cw = 0.12·m·385", m.WindingCapacity.Value, 9.702, 1e-9)
	within(t, "Ch = 0.88·m·460", m.HousingCapacity.Value, 85.008, 1e-9)
	if m.HousingToAir.Basis != quantity.Estimated || m.WindingLimit.Value != 120 || m.WindingLimit.Basis != quantity.Assumed {
		t.Errorf("bases: %+v %+v", m.HousingToAir, m.WindingLimit)
	}
}

func TestMassAndSizeStandInForEachOther(t *testing.T) {
	volume := math.Pi / 4 * 0.037 * 0.037 * 0.057
	bySize := oneMotor(t, thermalHeader+thermalBasics+",,,37,57,,,,,,,\n")
	within(t, "mass from size", bySize.WindingCapacity.Value, 0.12*385*5000*volume, 1e-9)
	byBoth := oneMotor(t, thermalHeader+thermalBasics+",,,37,,0.30643,,,,,,\n") // 5000 kg/m³ · volume
	within(t, "length from mass", byBoth.HousingToAir.Value, float64(bySize.HousingToAir.Value), 1e-4)
	byMass := oneMotor(t, thermalHeader+thermalBasics+",,,,,0.30643,,,,,,\n")
	d := math.Cbrt(volume / (math.Pi / 4 * 1.5))
	within(t, "size from mass", byMass.HousingToAir.Value, 1/(12*(math.Pi*d*1.5*d+math.Pi*d*d/2)), 1e-4)
}

func TestUnknownThermalDataStayUnknown(t *testing.T) {
	m := oneMotor(t, thermalHeader+thermalBasics+",,,,,,,,,,,\n")
	if m.WindingToHousing.Known() || m.HousingToAir.Known() || m.WindingCapacity.Known() || m.HousingCapacity.Known() {
		t.Errorf("thermal data out of nothing: %+v", m)
	}
	// A rated torque above half the stall torque is no continuous rating.
	m = oneMotor(t, thermalHeader+thermalBasics+",,3,,,,,,,,,\n")
	if m.WindingToHousing.Known() {
		t.Errorf("a stall figure was taken for a rating: %+v", m.WindingToHousing)
	}
}

func TestTheClassIsReadAsAMeanTemperature(t *testing.T) {
	for class, want := range map[string]quantity.Temperature{"A": 100, "class e": 115, "B": 120, "F": 145, "H": 165} {
		m := oneMotor(t, thermalHeader+thermalBasics+",,,,,,,"+class+",,,,\n")
		if m.WindingLimit.Value != want {
			t.Errorf("class %s: %v, want %v", class, m.WindingLimit.Value, want)
		}
	}
}

func TestMagnetsLoseFluxWithHeat(t *testing.T) {
	for cell, want := range map[string]float64{"": -0.002, "ferrite": -0.002, "NdFeB": -0.0011, "SmCo": -0.0004, "-0.19 %/K": -0.0019, "0.0019": -0.0019} {
		m := oneMotor(t, "id,nominal_voltage,no_load_speed,no_load_current,stall_current,magnet\nm,12,5000,0.2,5,"+cell+"\n")
		within(t, "magnet "+cell, m.Magnet.Value, want, 1e-9)
	}
}

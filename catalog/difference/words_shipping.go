package difference

import "maps"

// The nouns of boxing and shipping.
func init() {
	maps.Copy(nouns, map[string]string{"handling": "handling", "parcels": "parcel terms", "pallets": "pallet", "lifts": "lift"})
}

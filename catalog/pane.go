package catalog

// GlassWork is work on a pane beside its outline and edge.
type GlassWork struct {
	Do   string `yaml:"do,required" oneof:"drill notch cut edge" doc:"What is done."`
	By   string `yaml:"by,required" oneof:"vendor workshop" doc:"Who does it. The vendor does it before tempering and it stands on the order for the pane; in the workshop a tempered pane is never cut, drilled, notched or edged."`
	Note string `yaml:"note" doc:"Where and how, such as 2 holes of 1 in, 3 in from the ends."`
}

// The words of GlassWork.By and GlassPart.Position.
const (
	ByVendor   = "vendor"
	ByWorkshop = "workshop"
	Upright    = "upright"
)

// Tempered tells that a pane of the glass is never worked again.
func (g *Glass) Tempered() bool { return g.Safety == "tempered" }
